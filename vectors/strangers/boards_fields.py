"""Boards that print frames as values of something else: fields, strings, arrays, records."""

from __future__ import annotations

from _log import Log, Printed, board, plain, rows, tagged


@board(
    "named-fields",
    "a frame as dst, src, type and data: the fields join",
    "addresses with colons, the type as one word, the data sixteen a row",
)
def named_fields(log: Log) -> None:
    log.line(f"frost alarm, serial {log.x(12)}", "own address: 00:00:5e:00:53:07")
    log.line(*(f"  filter {k}: 01:00:5e:{log.x(2)}:{log.x(2)}:{log.x(2)}" for k in range(4)))
    for octets in plain("arp 11", "arp 12", "echo 8", "dns 11"):
        frame = log.frame(octets)
        log.line(f"-- packet {log.n(100, 999)} at {log.tick()} --")
        log.put("  dst: ")
        log.run(frame, 0, 6, gap=":")
        log.end()
        log.put("  src: ")
        log.run(frame, 6, 12, gap=":")
        log.end()
        log.put("  type: 0x")
        log.run(frame, 12, 14, group=2)
        log.end()
        for at in range(14, len(octets), 16):
            log.put("  data: " if at == 14 else "        ")
            log.run(frame, at, at + 16)
            log.end()
        log.line(f"-- end, queue {log.n(0, 7)} --", f"mast {log.n(1, 9)} air {log.n(-50, 50) / 10}")


@board(
    "json-lines",
    "a JSON object a line, the frame as one string of digits",
    "other objects carry keys and ids of hex digits",
)
def json_lines(log: Log) -> None:
    def chat() -> None:
        log.line(
            f'{{"t":{log.tick()},"ev":"temp","mast":{log.n(1, 9)},"c":{log.n(-50, 50) / 10}}}',
            f'{{"t":{log.tick()},"ev":"save","id":"{log.x(32)}","rev":"{log.x(8)}"}}',
        )

    for octets in (*plain("arp 13", "echo 1"), *tagged("arp 2", "echo 1"), *plain("dns 20")):
        frame = log.frame(octets)
        chat()
        log.put(f'{{"t":{log.tick()},"ev":"rx","len":{len(octets)},"raw":"')
        log.run(frame, 0, len(octets), gap="")
        log.line(f'","q":{log.n(0, 3)}}}')
    chat()


@board("comma-columns", "a table with commas: time, way, length, digits, result", "an id in hex")
def comma_columns(log: Log) -> None:
    log.line("ms,way,id,length,octets,result")
    for way, octets in zip(
        ("in", "out", "in", "out", "in"),
        plain("arp 5", "arp 6", "echo 4", "echo 5", "dns 14"),
        strict=True,
    ):
        frame = log.frame(octets)
        log.put(f"{log.tick()},{way},{log.x(8)},{len(octets)},")
        log.run(frame, 0, len(octets), gap="", form="02X")
        log.line(f",{log.random.choice(('ok', 'late', 'ok'))}")
        log.line(f"{log.tick()},note,{log.x(8)},0,,mast {log.n(1, 9)}")


@board(
    "tagged-element", "rows between an opening and a closing tag", "sixteen octets a row, indented"
)
def tagged_element(log: Log) -> None:
    log.line("<session board='frost-3' boot='17'>", f"  <image sum='{log.x(40)}'/>")
    log.line(*(f"  <area from='{log.x(8)}' to='{log.x(8)}'/>" for _ in range(5)))
    for k, octets in enumerate(plain("arp 7", "arp 20", "dns 16")):
        frame = log.frame(octets)
        log.line(f"  <temp mast='{log.n(1, 9)}' raw='{log.x(4)}'/>")
        log.line(f"  <frame n='{k}' octets='{len(octets)}' at='{log.tick()}'>")
        for at in rows(octets, 16):
            log.put("    ")
            log.run(frame, at, at + 16)
            log.end()
        log.line("  </frame>")
    log.line("</session>")


@board("escaped-strings", "eight octets a row as \\x escapes in quotes", "a plus joins the rows")
def escaped_strings(log: Log) -> None:
    log.line(f'{log.tick()} script: salt = "{log.x(16)}"', "    keep = 3")
    for octets in plain("echo 6", "dns 0", "arp 15"):
        frame = log.frame(octets)
        log.line(f"{log.tick()} script: last = ...")
        for at in rows(octets, 8):
            log.put('    "')
            log.run(frame, at, at + 8, gap="", before="\\x")
            log.line('" +' if at + 8 < len(octets) else '"')
        log.line(f"{log.tick()} script: sum = {log.n(0, 65535)}")


def _array(log: Log, frame: Printed, name: str) -> None:
    log.line(f"static const unsigned char {name}[{len(frame.octets)}] = {{")
    for at in rows(frame.octets, 12):
        log.put("\t")
        log.run(frame, at, at + 12, gap=", ", before="0x")
        log.line("," if at + 12 < len(frame.octets) else "")
    log.line("};")


@board("c-arrays", "arrays ready to be pasted into a test", "twelve octets a row")
def c_arrays(log: Log) -> None:
    log.line(f"/* uptime {log.tick()} ms, keep {log.n(1, 5)} */", f"#define SEED 0x{log.x(8)}u")
    for k, octets in enumerate(plain("arp 0", "arp 6", "tcp 10")):
        _array(log, log.frame(octets), f"caught_{k}")
        log.line(f"/* checked {log.tick()} */")
