"""Labels: codes that catch slips, QR symbols, and tags drawn as exact dots.

A library of its own: it knows codes and lines of text, and nothing of what they mean.

    from labels.face.artwork import TagLine, TagText
    from labels.code import make_code
    from labels.output.files import write_tags
    from labels.symbols.payload import payload
    from labels.stock.catalogue import find_stock

    code = make_code("TP", 17)
    tag = TagText(code, "Backing plate screws",
                  (TagLine("came from", "Front wheel / Brake"),
                   TagLine("fasteners", "4 × M5x0.8x12 pan", bold=True)),
                  payload=payload(code, "garage.local:8017"))
    printed = write_tags([tag], find_stock("a4-3x8-70x37"), Path("tags.pdf"))

`code` and `payload` make and understand what a tag says; `stock` and `sizing` know the paper;
`artwork` draws one tag, `sheet`, `output` and `cups` bring many to paper, `preview` shows them
in a terminal; `reading` reads pictures, `scanner` tells a hand scanner from a typist;
`boltcard` and `cardface` draw the card that holds a cover's screws, `order` says in which order
to tighten them; `ruler` and `correction` set a printer right.
"""
