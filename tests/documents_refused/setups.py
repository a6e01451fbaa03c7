"""Refused setup documents: one good document and what is done to it, line and key counted by hand."""

from __future__ import annotations

from dataclasses import dataclass

GOOD = """\
format = "chiparc setup"
version = 1
title = "Boss on a pump bracket"

[cutter]
hand = "right"
diameter_mm = 12.0
teeth = 4
helix_deg = 30.0
runout_mm = 0.0

[cut]
direction = "climb"
radial_engagement_mm = 4.0
axial_engagement_mm = 10.0
feed_per_tooth_mm = 0.06
spindle_speed_rpm = 4000.0

[work.force]
model = "linear-edge"
ktc = 1800.0
krc = 700.0
kac = 300.0
kte = 22.0
kre = 35.0
kae = 3.0

[[dynamics]]
axis = "x"
frequency_hz = 810.0
damping_ratio = 0.02
stiffness_n_mm = 9800.0

[[dynamics]]
axis = "y"
frequency_hz = 900.0
damping_ratio = 0.03
stiffness_n_mm = 9000.0
"""
"""Accepted as it stands (a test says so); the line numbers below count in it."""


@dataclass(frozen=True)
class Refused:
    """A document to refuse: its text, and the line, key and words of the refusal."""

    name: str
    text: str | bytes
    line: int
    key: str
    words: tuple[str, ...]


def changed(name: str, old: str, new: str, line: int, key: str, *words: str) -> Refused:
    """GOOD with its first ``old`` replaced."""
    assert old in GOOD, name
    return Refused(name, GOOD.replace(old, new, 1), line, key, words)


def _without(name: str, old: str, line: int, key: str, *words: str) -> Refused:
    return changed(name, old + "\n", "", line, key, "missing", *words)


MISSING = [
    _without("no-format", 'format = "chiparc setup"', 1, "format", '"chiparc setup"'),
    _without("no-version", "version = 1", 1, "version", "1"),
    _without("no-diameter", "diameter_mm = 12.0", 5, "cutter.diameter_mm", "from 0.01 to 1000"),
    _without("no-teeth", "teeth = 4", 5, "cutter.teeth", "whole number"),
    _without("no-direction", 'direction = "climb"', 12, "cut.direction", "straddling"),
    _without("no-ae", "radial_engagement_mm = 4.0", 12, "cut.radial_engagement_mm", "over 0"),
    _without("no-ap", "axial_engagement_mm = 10.0", 12, "cut.axial_engagement_mm"),
    _without("no-fz", "feed_per_tooth_mm = 0.06", 12, "cut.feed_per_tooth_mm"),
    _without("no-speed", "spindle_speed_rpm = 4000.0", 12, "cut.spindle_speed_rpm"),
    _without("no-model", 'model = "linear-edge"', 19, "work.force.model", "power-law"),
    _without("no-coefficient", "kre = 35.0", 19, "work.force.kre", "from 0 to 100,000"),
    _without("no-axis-first-block", 'axis = "x"', 28, "dynamics.axis", "block 1"),
    _without("no-damping-second-block", "damping_ratio = 0.03", 34, "dynamics.damping_ratio", "block 2"),
    changed("no-cutter-table", GOOD[GOOD.index("[cutter]") : GOOD.index("[cut]")], "", 1, "cutter", "missing",
            "teeth"),
    changed("thermal-of-two", "[cut]", "[work.thermal]\ndensity_kg_m3 = 7850\nconductivity_w_mk = 45\n[cut]",
            12, "work.thermal.specific_heat_j_kgk", "missing", "from 50 to 5000"),
    changed("cutter-material-of-one", "[cut]", "[cutter.material]\ndensity_kg_m3 = 7850\n[cut]",
            12, "cutter.material.conductivity_w_mk", "missing"),
    changed("skin-without-thickness", "[cut]", "[work.skin]\n[cut]", 12, "work.skin.thickness_mm", "missing"),
]  # fmt: skip

UNKNOWN = [
    changed("misspelt-key-that-must-be-there", "diameter_mm", "diametre_mm", 7, "cutter.diametre_mm", "unknown key",
            "diameter_mm (did you mean"),
    changed("misspelt-table", "[cutter]", "[cuter]", 5, "cuter", "unknown key", "cutter (did you mean"),
    changed("near-name", "helix_deg", "helx_deg", 9, "cutter.helx_deg", "unknown key", "helix_deg", "did you mean"),
    changed("no-near-name", "helix_deg", "colour", 9, "cutter.colour", "unknown key", "runout_mm"),
    changed(
        "shop-symbol", "radial_engagement_mm", "ae", 14, "cut.ae", "unknown key", "radial_engagement_mm (did you"
    ),
    changed(
        "in-the-wrong-table", "helix_deg = 30.0", "spindle_speed_rpm = 9", 9, "cutter.spindle_speed_rpm", "[cut]"
    ),
    changed("unknown-table", "[cut]", "[fixture]\n[cut]", 12, "fixture", "unknown key", "machine"),
    changed("unknown-top-key", "version = 1", 'version = 1\nauthor = "me"', 3, "author", "unknown key"),
    changed("coefficient-of-the-other-model", "kae = 3.0", "kae = 3.0\nmc = 0.2", 27, "work.force.mc", "power-law"),
    changed("unknown-in-second-block", 'axis = "y"', 'axis = "y"\nmass_kg = 2', 36, "dynamics.mass_kg", "block 2"),
    changed("case-counts", "teeth = 4", "Teeth = 4\nteeth = 4", 8, "cutter.Teeth", "teeth (did you mean"),
    changed("quoted-and-dotted", "teeth = 4", '"teeth.count" = 4\nteeth = 4', 8, "cutter.teeth.count", "unknown key"),
]  # fmt: skip

TYPES = [
    changed("number-as-text", "= 12.0", '= "12.0"', 7, "cutter.diameter_mm", '"12.0"', "text", "number"),
    changed("teeth-with-a-point", "teeth = 4", "teeth = 4.0", 8, "cutter.teeth", "4.0", "without a decimal point"),
    changed("teeth-of-halves", "teeth = 4", "teeth = 4.5", 8, "cutter.teeth", "4.5", "whole number"),
    changed("true-is-no-number", "= 0.06", "= true", 16, "cut.feed_per_tooth_mm", "true", "number"),
    changed("false-is-no-number", "teeth = 4", "teeth = false", 8, "cutter.teeth", "false", "whole number"),
    changed("date", "= 12.0", "= 1979-05-27", 7, "cutter.diameter_mm", "1979-05-27", "date"),
    changed("list-for-a-number", "= 12.0", "= [\n 12.0,\n]", 7, "cutter.diameter_mm", "list", "number"),
    changed("table-for-a-number", "= 12.0", "= { mm = 12.0 }", 7, "cutter.diameter_mm", "table", "number"),
    changed("number-for-a-table", "[cutter]", "machine = 5\n[cutter]", 5, "machine", "5", "table with"),
    Refused("text-for-a-table", GOOD[: GOOD.index("[work.force]")] + "[work]\nskin = 'thick'\n", 20, "work.skin",
                 ("'thick'", "text", "thickness_mm")),
    changed("blocks-for-a-table", "[cut]", "[[cut]]", 12, "cut", "[[blocks]]", "table with direction"),
    Refused("table-for-blocks", GOOD[: GOOD.rindex("[[dynamics]]")].replace("[[dynamics]]", "[dynamics]"), 28,
            "dynamics", ("table", "[[dynamics]]")),
    Refused("numbers-for-blocks", "dynamics = [1, 2]\n" + GOOD[: GOOD.index("[[dynamics]]")], 1, "dynamics",
            ("block 1", "table with axis")),
    changed("hand-as-number", '"right"', "1", 6, "cutter.hand", "found 1", '"left"'),
    changed("title-as-number", '"Boss on a pump bracket"', "7", 3, "title", "found 7", "200 characters"),
    changed("version-as-text", "version = 1", 'version = "1"', 2, "version", '"1"', "whole number 1"),
    changed("version-with-a-point", "version = 1", "version = 1.0", 2, "version", "1.0", "whole number 1"),
    changed("material-as-number", "[work.force]", "[work]\nmaterial = 45\n[work.force]", 20, "work.material", "45"),
]  # fmt: skip

RANGES = [
    changed("nan", "= 4000.0", "= nan", 17, "cut.spindle_speed_rpm", "nan", "over 0"),
    changed("infinite", "= 4000.0", "= inf", 17, "cut.spindle_speed_rpm", "inf", "1,000,000"),
    changed("minus-infinite-coefficient", "kae = 3.0", "kae = -inf", 26, "work.force.kae", "-inf", "from -100,000"),
    changed("overflow", "= 4000.0", "= 1e999", 17, "cut.spindle_speed_rpm", "1e999", "over 0"),
    changed("four-hundred-digits", "= 4000.0", "= 1" + 400 * "0", 17, "cut.spindle_speed_rpm", "1000", "over 0"),
    changed("no-teeth-at-all", "teeth = 4", "teeth = 0", 8, "cutter.teeth", "found 0", "from 1 to 100"),
    changed("hex-teeth", "teeth = 4", "teeth = 0xFF", 8, "cutter.teeth", "0xFF", "from 1 to 100"),
    changed("no-width", "= 4.0", "= 0.0", 14, "cut.radial_engagement_mm", "0.0", "over 0"),
    changed("negative-depth", "= 10.0", "= -10.0", 15, "cut.axial_engagement_mm", "-10.0", "over 0"),
    changed("negative-helix", "= 30.0", "= -30.0", 9, "cutter.helix_deg", "-30.0", "from 0 to 85"),
    changed("kappa-of-nothing", "helix_deg = 30.0", "cutting_edge_angle_deg = 0", 9, "cutter.cutting_edge_angle_deg",
            "found 0", "over 0"),
    changed("rake", "helix_deg = 30.0", "radial_rake_deg = 46", 9, "cutter.radial_rake_deg", "46", "from -45 to 45"),
    changed("negative-coefficient", "ktc = 1800.0", "ktc = -1.0", 21, "work.force.ktc", "-1.0", "from 0 to 100,000"),
    changed("damping-of-one", "= 0.03", "= 1.0", 37, "dynamics.damping_ratio", "1.0", "block 2", "under 1"),
    changed("negative-frequency", "= 810.0", "= -810.0", 30, "dynamics.frequency_hz", "-810.0", "block 1"),
    changed("axis-z", '"y"', '"z"', 35, "dynamics.axis", '"z"', '"x" or "y"'),
    changed("direction-down", '"climb"', '"down"', 13, "cut.direction", '"down"', '"conventional"'),
    changed("hand-in-capitals", '"right"', '"Right"', 6, "cutter.hand", '"Right"', '"right"'),
    changed("unknown-model", '"linear-edge"', '"kienzle"', 20, "work.force.model", '"kienzle"', '"power-law"'),
    changed("ratio-over-one", "[cut]", "[work.chip]\nmin_chip_ratio = 1.5\n[cut]", 13, "work.chip.min_chip_ratio",
            "1.5"),
    changed("negative-backlash", "[cut]", "[machine]\nbacklash_mm = -0.1\n[cut]", 13, "machine.backlash_mm", "-0.1"),
    changed("another-format", '"chiparc setup"', '"chiparc stock"', 1, "format", '"chiparc stock"',
            '"chiparc setup"'),
    changed("newer", "version = 1", "version = 2", 2, "version", "found 2", "newer version"),
    changed("version-nought", "version = 1", "version = 0", 2, "version", "found 0", "allowed: 1"),
    changed("long-title", "Boss on a pump bracket", 201 * "x", 3, "title", "201 characters", "200"),
    changed("title-of-two-lines", '"Boss on a pump bracket"', '"""Boss\non a bracket"""', 3, "title", "line break"),
    changed("unknown-material", "[work.force]", '[work]\nmaterial = "unobtainium"\n[work.force]', 20, "work.material",
            '"unobtainium"', "catalogue"),
    changed("material-without-a-name", "[work.force]", '[work]\nmaterial = " "\n[work.force]', 20, "work.material",
            "empty"),
]  # fmt: skip


def _machine(name: str, lines: str, line: int, key: str, *words: str) -> Refused:
    """GOOD with a [machine] table before [cut], on line 12."""
    return changed(name, "[cut]", f"[machine]\n{lines}\n[cut]", line, key, *words)


HELD = [
    changed("no-flutes", "helix_deg = 30.0", "flute_length_mm = 0", 9, "cutter.flute_length_mm", "found 0", "over 0"),
    changed("flutes-as-text", "helix_deg = 30.0", 'flute_length_mm = "26"', 9, "cutter.flute_length_mm", "text",
            "number"),
    changed("flutes-beyond-the-holder", "helix_deg = 30.0", "stickout_mm = 42\nflute_length_mm = 43", 10,
            "cutter.flute_length_mm", "found 43", "stick-out (42)"),
    changed("depth-beyond-the-flutes", "helix_deg = 30.0", "flute_length_mm = 9.5", 15, "cut.axial_engagement_mm",
            "found 10", "flute length (9.5)"),
    changed("shank-of-nothing", "helix_deg = 30.0", "shank_diameter_mm = 0.0", 9, "cutter.shank_diameter_mm", "0.0",
            "from 0.01 to 1000"),
    changed("holder-that-pushes", "helix_deg = 30.0", "holder_stiffness_n_mm = -2e4", 9,
            "cutter.holder_stiffness_n_mm", "-2e4", "over 0"),
    changed("holder-near-name", "helix_deg = 30.0", "holder_stiffness = 2e4", 9, "cutter.holder_stiffness",
            "holder_stiffness_n_mm (did you mean"),
    changed("tolerance-of-nothing", "= 4000.0", "= 4000.0\nwall_tolerance_mm = 0", 18, "cut.wall_tolerance_mm",
            "found 0", "over 0 up to 100"),
    changed("tolerance-in-the-wrong-table", "helix_deg = 30.0", "wall_tolerance_mm = 0.01", 9,
            "cutter.wall_tolerance_mm", "[cut]"),
    _machine("no-power", "power_kw = 0.0", 13, "machine.power_kw", "0.0", "over 0"),
    _machine("torque-as-list", "torque_nm = [35]", 13, "machine.torque_nm", "list", "number"),
    _machine("drive-of-another-kind", 'drive = "belt"', 13, "machine.drive", '"belt"', '"screw" or "ball screw"'),
    _machine("drive-as-number", "drive = 1", 13, "machine.drive", "found 1", '"screw"'),
    _machine("curve-as-number", "speed_curve = 5.5", 13, "machine.speed_curve", "5.5",
             "a list of at least two points"),
    _machine("curve-of-one-point", "speed_curve = [[4000, 5.5]]", 13, "machine.speed_curve", "found 1 point",
             "at least two"),
    _machine("curve-of-no-point", "speed_curve = []", 13, "machine.speed_curve", "found 0 points"),
    _machine("curve-of-three-figures", "speed_curve = [\n[0, 0],\n[6000, 5, 3]]", 15, "machine.speed_curve",
             "point 2 that is not two numbers"),
    _machine("curve-with-text", "speed_curve = [[0, 0], [6000, '5']]", 13, "machine.speed_curve",
             "point 2 that is not two numbers"),
    _machine("curve-with-truth", "speed_curve = [[0, true], [6000, 5]]", 13, "machine.speed_curve", "point 1"),
    _machine("curve-that-turns-back", "speed_curve = [\n[0, 0],\n[6000, 5],\n[5000, 5]]", 16, "machine.speed_curve",
             "found 5000 /min after 6000 /min in point 3", "ascending"),
    _machine("curve-with-a-speed-twice", "speed_curve = [[0, 0], [0, 5], [6000, 5]]", 13, "machine.speed_curve",
             "found 0 /min after 0 /min"),
    _machine("curve-with-negative-power", "speed_curve = [[0, 0], [6000, -1]]", 13, "machine.speed_curve",
             "found -1 kW in point 2", "kW from 0"),
    _machine("curve-with-nan", "speed_curve = [[0, 0], [nan, 1]]", 13, "machine.speed_curve", "found nan /min"),
    _machine("curve-with-endless-digits", "speed_curve = [[0, 0], [1" + 400 * "0" + ", 1]]", 13,
             "machine.speed_curve", "beyond all bounds"),
    _machine("power-beside-a-curve", "power_kw = 5\nspeed_curve = [[0, 0], [6000, 5]]", 13, "machine.power_kw",
             "found 5 beside a speed_curve", "one of the two"),
    changed("speed-beyond-the-curve", "= 4000.0", "= 4000.0\n[machine]\nspeed_curve = [[100, 1], [3000, 5]]", 17,
            "cut.spindle_speed_rpm", "found 4000, which is beyond the curve", "from 100 to 3000"),
    changed("speed-below-the-curve", "= 4000.0", "= 40.0\n[machine]\nspeed_curve = [[100, 1], [3000, 5]]", 17,
            "cut.spindle_speed_rpm", "found 40, which is beyond the curve", "from 100 to 3000"),
]  # fmt: skip

TOGETHER = [
    changed("slot-as-climb", "= 4.0", "= 12.0", 14, "cut.radial_engagement_mm", "12", "straddling"),
    changed("offset-of-a-climb-cut", "= 4.0", "= 4.0\ncentre_offset_mm = 1.0", 15, "cut.centre_offset_mm", "climb"),
    changed("feed-beyond-half-the-cutter", "= 0.06", "= 6.1", 16, "cut.feed_per_tooth_mm", "6.1", "half"),
    changed("runout-of-half-the-cutter", "runout_mm = 0.0", "runout_mm = 6.0", 10, "cutter.runout_mm",
            "half the diameter"),
    changed("straddling-touches-right", '"climb"\n', '"straddling"\ncentre_offset_mm = 4.0\n', 13, "cut.direction",
            '"climb" for this cut'),
    changed("straddling-touches-left", '"climb"\n', '"straddling"\ncentre_offset_mm = -4.0\n', 13, "cut.direction",
            '"conventional" for this cut'),
    changed("straddling-beyond-the-cutter", '"climb"\n', '"straddling"\ncentre_offset_mm = 5.0\n', 14,
            "cut.centre_offset_mm", "from -4 to 4"),
    changed("wider-than-the-cutter", '"climb"\nradial_engagement_mm = 4', '"straddling"\nradial_engagement_mm = 13',
            14, "cut.radial_engagement_mm", "13", "12"),
]  # fmt: skip

SYNTAX = [
    changed("key-twice", "teeth = 4", "teeth = 4\nteeth = 5", 9, "cutter.teeth", "second time", "line 8"),
    changed("table-twice", "[work.force]", "[cutter]\n[work.force]", 19, "cutter", "second time", "line 5"),
    changed("decimal-comma", "= 12.0", "= 12,0", 7, "cutter.diameter_mm", "12,0", "decimal point"),
    changed("unit-in-the-value", "= 12.0", "= 12.0 mm", 7, "cutter.diameter_mm", "12.0 mm", "unit"),
    changed("no-quotes", '"climb"', "climb", 13, "cut.direction", "climb", "quotes"),
    changed("curly-quotes", '"climb"', "\N{LEFT DOUBLE QUOTATION MARK}climb\N{RIGHT DOUBLE QUOTATION MARK}", 13,
            "cut.direction", "straight quotes"),
    changed("open-quotes", '"climb"', '"climb', 13, "cut.direction", "do not close"),
    changed("open-long-text", '"Boss on a pump bracket"', '"""Boss', 3, "title", "do not close"),
    changed("open-list", "= 12.0", "= [12.0", 7, "cutter.diameter_mm", "not closed"),
    changed("true-minus-sign", "kae = 3.0", "kae = \N{MINUS SIGN}3.0", 26, "work.force.kae", "hyphen"),
    changed("no-digit-before-the-point", "= 0.06", "= .06", 16, "cut.feed_per_tooth_mm", ".06", "before the decimal"),
    changed("no-digit-after-the-point", "= 12.0", "= 12.", 7, "cutter.diameter_mm", "12.", "after the decimal"),
    changed("leading-zero", "teeth = 4", "teeth = 04", 8, "cutter.teeth", "04", "leading zeros"),
    changed("no-value", "teeth = 4", "teeth =", 8, "cutter.teeth", "nothing", "value"),
    changed("no-equals-sign", "teeth = 4", "teeth 4", 8, "TOML", "= sign"),
    changed("open-table-name", "[cut]", "[cut", 12, "TOML", "not closed"),
    changed("python-true", "teeth = 4", "teeth = True", 8, "cutter.teeth", "True"),
    changed("backslash", "Boss on", "C:\\jobs", 3, "title", "backslash"),
    changed("control-character", "Boss on", "Boss\x07on", 3, "title", "control character"),
    Refused("deep", "a = " + 5000 * "[" + 5000 * "]", 0, "TOML", ("nested too deep",)),
    Refused("endless-line", "a" + 30_000 * ".a" + " = 1\n", 1, "TOML", ("a line of 60005 characters", "20000")),
    Refused("endless-key", GOOD + "a" + 50 * " . 'a'" + " = 1\n", 39, "TOML", ("too many parts", "40")),
    Refused("thousands-of-digits", GOOD.replace("4000.0", 5000 * "9"), 17, "cut.spindle_speed_rpm", ("digits",)),
]  # fmt: skip

FILES = [
    Refused("empty", "", 1, "format", ("empty document", "chiparc setup")),
    Refused("comments-only", "# a setup, one day\n", 1, "format", ("empty document",)),
    Refused("byte-order-mark-only", b"\xef\xbb\xbf", 1, "format", ("empty document",)),
    Refused("latin-1", GOOD.replace("Boss", "Bo\xdf").encode("latin-1"), 3, "file", ("0xDF", "UTF-8")),
    Refused("utf-16", GOOD.encode("utf-16"), 1, "file", ("UTF-16",)),
    Refused("binary", b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", 3, "file", ("zero byte",)),
    Refused("too-large", GOOD + "# padding\n" * 100_000, 0, "file", ("1000000 bytes",)),
    Refused("half-a-character", GOOD.replace("Boss", "\ud800"), 3, "file", ("half a character",)),
]

ALL = [*MISSING, *UNKNOWN, *TYPES, *RANGES, *HELD, *TOGETHER, *SYNTAX, *FILES]
