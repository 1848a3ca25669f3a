"""Pairing: a code that runs out, few tries, each slower than the one before."""

from __future__ import annotations

import asyncio
from base64 import b32decode

import pytest

from tagbench.phone.pairing import (
    ATTEMPTS,
    ATTEMPTS_OF_ALL,
    HANDOVER_SECONDS,
    LIFE_SECONDS,
    LONGEST_WAIT_SECONDS,
    QUEUE,
    Handovers,
    Invitation,
    Outcome,
    Pairing,
)


class Clock:
    """Stands still until it is moved."""

    def __init__(self) -> None:
        self.seconds = 1000.0

    def __call__(self) -> float:
        return self.seconds


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def pairing(clock: Clock) -> Pairing:
    return Pairing(clock=clock, wait_seconds=0.0)


def wrong(invitation: Invitation) -> str:
    return f"{(int(invitation.code) + 1) % 10**6:06d}"


def test_an_invitation_has_six_digits_and_a_long_secret(pairing: Pairing) -> None:
    invitation = pairing.invite()
    assert len(invitation.code) == 6
    assert invitation.code.isdecimal()
    assert len(b32decode(invitation.secret + "======")) == 16
    assert invitation.spaced == f"{invitation.code[:3]} {invitation.code[3:]}"


def test_each_invitation_is_another_one(pairing: Pairing) -> None:
    assert len({pairing.invite().secret for _ in range(50)}) == 50
    assert len({pairing.invite().code for _ in range(50)}) > 40


async def test_the_right_code_is_good_once(pairing: Pairing) -> None:
    code = pairing.invite().code
    assert await pairing.accept_code(code) is Outcome.RIGHT
    assert await pairing.accept_code(code) is Outcome.WRONG


async def test_blanks_and_hyphens_in_the_code_do_not_matter(pairing: Pairing) -> None:
    assert await pairing.accept_code(f" {pairing.invite().spaced} ") is Outcome.RIGHT
    code = pairing.invite().code
    assert await pairing.accept_code(f"{code[:3]}-{code[3:]}") is Outcome.RIGHT


def test_the_link_is_good_once_and_uses_the_code_up(pairing: Pairing) -> None:
    invitation = pairing.invite()
    assert not pairing.accept_link(invitation.secret[:-1])
    assert pairing.accept_link(invitation.secret)
    assert not pairing.accept_link(invitation.secret)
    assert pairing.invitation is None


async def test_without_an_invitation_nothing_is_right(pairing: Pairing) -> None:
    assert await pairing.accept_code("") is Outcome.WRONG
    assert await pairing.accept_code("000000") is Outcome.WRONG
    assert not pairing.accept_link("")


async def test_an_invitation_runs_out(pairing: Pairing, clock: Clock) -> None:
    invitation = pairing.invite()
    clock.seconds += LIFE_SECONDS - 1
    assert pairing.seconds_left == pytest.approx(1.0)
    clock.seconds += 1
    assert pairing.seconds_left == 0
    assert await pairing.accept_code(invitation.code) is Outcome.WRONG
    assert not pairing.accept_link(invitation.secret)


async def test_a_newer_invitation_ends_the_older_one(pairing: Pairing) -> None:
    older = pairing.invite()
    newer = pairing.invite()
    assert not pairing.accept_link(older.secret)
    assert await pairing.accept_code(newer.code) is Outcome.RIGHT


async def test_after_few_wrong_codes_an_address_may_try_no_more(pairing: Pairing) -> None:
    invitation = pairing.invite()
    for _ in range(ATTEMPTS):
        assert await pairing.accept_code(wrong(invitation), "one") is Outcome.WRONG
    assert await pairing.accept_code(invitation.code, "one") is Outcome.SPENT
    # Another address, and the link, are as good as before.
    assert await pairing.accept_code(invitation.code, "other") is Outcome.RIGHT


async def test_a_stranger_cannot_use_the_link_up(pairing: Pairing) -> None:
    invitation = pairing.invite()
    for number in range(ATTEMPTS_OF_ALL):
        assert await pairing.accept_code(wrong(invitation), str(number)) is Outcome.WRONG
    assert pairing.digits_spent
    assert await pairing.accept_code(invitation.code, "mine") is Outcome.SPENT
    assert pairing.accept_link(invitation.secret)


async def test_a_fresh_code_may_be_tried_again(pairing: Pairing) -> None:
    for _ in range(ATTEMPTS):
        await pairing.accept_code(wrong(pairing.invitation or pairing.invite()), "one")
    assert await pairing.accept_code(pairing.invite().code, "one") is Outcome.RIGHT


async def test_many_tries_of_one_address_at_once_gain_nothing(pairing: Pairing) -> None:
    invitation = pairing.invite()
    guesses = [f"{number:06d}" for number in range(300) if f"{number:06d}" != invitation.code]
    answers = await asyncio.gather(*map(pairing.accept_code, guesses))
    # Those beyond the queue were not even looked at, and are told so.
    assert answers.count(Outcome.WRONG) == QUEUE
    assert answers.count(Outcome.BUSY) == len(guesses) - QUEUE
    assert await pairing.accept_code(invitation.code) is Outcome.RIGHT


async def test_nobody_waits_for_the_tries_of_another_address(clock: Clock) -> None:
    pairing = Pairing(clock=clock, wait_seconds=5.0)
    invitation = pairing.invite()
    slow = [
        asyncio.create_task(pairing.accept_code(wrong(invitation), "stranger")) for _ in range(5)
    ]
    await asyncio.sleep(0)
    async with asyncio.timeout(4.0):  # theirs take five seconds each
        assert await pairing.accept_code(invitation.code, "mine") is Outcome.RIGHT
    for task in slow:
        task.cancel()
    await asyncio.gather(*slow, return_exceptions=True)


async def test_each_wrong_code_is_answered_later_than_the_one_before(clock: Clock) -> None:
    pairing = Pairing(clock=clock, wait_seconds=0.001)
    waits = []
    for _ in range(6):
        assert await pairing.accept_code(wrong(pairing.invite())) is Outcome.WRONG
        waits.append(pairing.wait())
    assert waits == pytest.approx([0.001, 0.002, 0.004, 0.008, 0.016, 0.032])


async def test_the_wait_has_an_upper_end_and_a_paired_phone_resets_it(
    clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    pairing = Pairing(clock=clock, wait_seconds=1e-9)
    for _ in range(20):
        await pairing.accept_code(wrong(pairing.invite()))
    monkeypatch.setattr(pairing, "_wait_seconds", 0.5)
    assert pairing.wait() == LONGEST_WAIT_SECONDS
    assert await pairing.accept_code(pairing.invite().code) is Outcome.RIGHT
    assert pairing.wait() < LONGEST_WAIT_SECONDS


def test_closing_ends_the_invitation(pairing: Pairing) -> None:
    invitation = pairing.invite()
    pairing.close()
    assert pairing.invitation is None
    assert not pairing.accept_link(invitation.secret)


def test_a_handover_is_good_once_and_for_a_short_time(clock: Clock) -> None:
    handovers = Handovers(clock=clock)
    secret = handovers.offer("token")
    assert handovers.take("made up") == ""
    assert handovers.take(secret) == "token"
    assert handovers.take(secret) == ""
    late = handovers.offer("token")
    clock.seconds += HANDOVER_SECONDS
    assert handovers.take(late) == ""
