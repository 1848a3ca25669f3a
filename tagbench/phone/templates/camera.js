// Reads tags from the camera of the phone; the laptop decodes where the browser cannot.
const video = document.querySelector("video");
const said = document.querySelector("#seen");
const token = document.querySelector("input[name=form]").value;
const detector = "BarcodeDetector" in window ? new BarcodeDetector({ formats: ["qr_code"] }) : null;

async function ask(fields) {
  const form = new FormData();
  form.append("form", token);
  for (const [name, value, file] of fields) {
    if (file) form.append(name, value, file); else form.append(name, value);
  }
  const answer = await fetch("/camera", { method: "POST", body: form });
  if (answer.status === 429 || answer.status === 503) return { codes: [], said: "" };
  if (!answer.ok) throw new Error("The bench does not answer: open the page again.");
  return answer.json();
}

async function look() {
  if (detector) {
    const found = await detector.detect(video);
    return found.length ? ask(found.map(one => ["text", one.rawValue])) : { codes: [], said: "" };
  }
  const canvas = document.createElement("canvas");
  const scale = Math.min(1, 1280 / Math.max(video.videoWidth, video.videoHeight));
  canvas.width = video.videoWidth * scale;
  canvas.height = video.videoHeight * scale;
  canvas.getContext("2d").drawImage(video, 0, 0, canvas.width, canvas.height);
  const picture = await new Promise(done => canvas.toBlob(done, "image/jpeg", 0.8));
  return ask([["photo", picture, "frame.jpg"]]);
}

async function watch() {
  video.srcObject = await navigator.mediaDevices.getUserMedia({
    video: { facingMode: "environment", width: { ideal: 1280 } },
  });
  await video.play();
  for (;;) {
    const found = await look();
    if (found.codes.length) {
      video.srcObject.getTracks().forEach(track => track.stop());
      location.href = "/" + found.codes[0];
      return;
    }
    if (found.said) said.textContent = found.said;
    await new Promise(done => setTimeout(done, 300));
  }
}

watch().catch(error => { said.textContent = "The camera cannot be used (" + error.message + "): photograph the tag instead."; });
