"""The page: whole, harmless whatever a file calls its pitches, with a unit on every number."""

import json
import re
from base64 import b64encode
from dataclasses import replace
from hashlib import sha256
from html.parser import HTMLParser
from pathlib import Path
from time import process_time

import numpy as np
import pytest

from latebreak.engine.errors import InputError
from latebreak.service.questions import Answer, CompareResult, Estimate, portray
from latebreak.service.report.film import eye_frame, film, plate_frame
from latebreak.service.report.material import Material, gather
from latebreak.service.report.page import MOST_PITCHES, render
from latebreak.service.report.saving import FIRST_LINE, save
from latebreak.service.scenario import from_mapping, load
from latebreak.service.scenario.cautions import cautions
from latebreak.service.writing import OutputFileError

HOSTILE = {
    "fastball": "<script>alert(1)</script>",
    "curve_spike": "{{ 7*7 }}{% raw %}\"'&amp;",
    "curve_standard": "</script><img src=x onerror=alert(2)>",
}
#: Names that SVG and its kin are told by; they are never fetched.
NAMESPACES = ("http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink")


class Page(HTMLParser):
    """What a browser makes of a page: elements with their attributes, text by element, cells of the numbers' table."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[tuple[tuple[str, ...], str]] = []
        self._open: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in {"meta", "link", "input", "img", "br"}:
            self._open.append(f"{tag}.{dict(attrs).get('class') or ''}")

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop().partition(".")[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        self.texts.append((tuple(self._open), data))

    def inside(self, opened: str) -> list[str]:
        return [text for path, text in self.texts if any(one.startswith(opened) for one in path)]

    def words(self) -> str:
        """All that a reader may read, tags and code left out."""
        code = ("script.", "style.")
        return " ".join(text for path, text in self.texts if not any(one.startswith(code) for one in path))

    def attribute(self, tag: str, **having: str) -> dict[str, str | None]:
        return next(
            found for name, found in self.elements if name == tag and all(found.get(k) == v for k, v in having.items())
        )


@pytest.fixture(scope="module")
def material() -> Material:
    return gather("two-grips", throws=300)


@pytest.fixture(scope="module")
def html(material: Material) -> str:
    return render(material, "us")


@pytest.fixture(scope="module")
def metric(material: Material) -> str:
    return render(material, "metric")


@pytest.fixture(scope="module")
def hostile() -> str:
    tables = load("two-grips").tables
    mapping = {
        **tables,
        "title": "<b>bold</b> {{ title }} </title><script>alert(3)</script>",
        "pitch": {HOSTILE[name]: entry for name, entry in tables["pitch"].items()},
        "hitter": {"expects": {HOSTILE[name]: share for name, share in tables["hitter"]["expects"].items()}},
    }
    return render(gather(from_mapping(mapping).scenario, throws=300), "us")


def test_it_says_what_it_is(html: str, material: Material) -> None:
    assert html.startswith(FIRST_LINE + "\n")
    page = Page(html)
    assert page.attribute("html")["lang"] == "en"
    assert page.inside("title.")[0] == material.scenario.title
    assert page.attribute("meta", name="viewport")["content"] == "width=device-width, initial-scale=1"
    assert page.attribute("meta", name="referrer")["content"] == "no-referrer"
    assert page.attribute("link", rel="icon")["href"] == "data:,"
    for sentence in material.compared.result.why:
        assert sentence in " ".join(page.words().split()).replace("  ", " ") or sentence in "".join(
            page.inside("header.")
        )


def test_it_is_the_same_every_time(html: str, material: Material) -> None:
    assert render(material, "us") == html


def test_it_is_below_three_megabytes(html: str, hostile: str) -> None:
    assert len(html.encode()) < 3e6
    assert len(hostile.encode()) < 3e6


def test_nothing_is_fetched(html: str, metric: str, hostile: str) -> None:
    for page in (html, metric, hostile):
        without = page
        for name in NAMESPACES:
            without = without.replace(name, "")
        assert not re.search(r"https?:", without)
        assert "//" not in re.sub(r"//\s", "", "".join(Page(page).inside("style.")))
        for tag, attributes in Page(page).elements:
            for key in ("src", "href", "xlink:href", "action", "poster", "data", "srcset"):
                value = attributes.get(key) or ""
                assert value.startswith("#") or value in {"", "data:,"}, (tag, key, value)
        assert "url(" not in "".join(Page(page).inside("style."))


def test_the_policy_vouches_for_the_blocks_that_are_there(html: str, hostile: str) -> None:
    for page in (html, hostile):
        policy = Page(page).attribute("meta", **{"http-equiv": "Content-Security-Policy"})["content"] or ""
        rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
        assert rules["default-src"] == rules["base-uri"] == rules["form-action"] == "'none'"
        assert rules["img-src"] == "data:"
        assert "'unsafe-inline'" not in rules["script-src"] + rules["style-src"]
        scripts = re.findall(r"<script>(.*?)</script>", page, re.DOTALL)
        styles = re.findall(r"<style>(.*?)</style>", page, re.DOTALL)
        assert len(scripts) == len(styles) == 1
        for rule, content in (("script-src", scripts[0]), ("style-src", styles[0])):
            assert rules[rule] == f"'sha256-{b64encode(sha256(content.encode()).digest()).decode()}'"
        assert ("style-src-attr" in rules) == any("style" in attributes for _, attributes in Page(page).elements)


def test_names_are_words_and_nothing_else(hostile: str) -> None:
    page = Page(hostile)
    assert "img" not in {tag for tag, _ in page.elements}
    assert [found for tag, found in page.elements if tag == "script"] == [
        {"type": "application/json", "id": "film"},
        {},
    ]
    assert not [key for _, attributes in page.elements for key in attributes if key.startswith("on")]
    words = page.words()
    for name in HOSTILE.values():
        assert name in words
    assert "49" not in "".join(page.inside("h2."))  # what {{ 7*7 }} would have come to
    assert "<b>bold</b> {{ title }} </title><script>alert(3)</script>" in words


def test_names_reach_the_script_as_they_are(hostile: str) -> None:
    block = re.search(r'<script type="application/json" id="film">(.*?)</script>', hostile, re.DOTALL)
    assert block
    assert not re.search("[<>&\u2028\u2029]", block[1])
    data = json.loads(block[1])
    assert [pitch["name"] for pitch in data["pitches"]] == [HOSTILE["curve_spike"], HOSTILE["curve_standard"]]
    assert data["fastball"] == HOSTILE["fastball"]


def test_every_number_of_the_table_has_a_unit(html: str, metric: str) -> None:
    for page, lengths in ((html, "ft|in"), (metric, "m|cm")):
        cells = [text for opened in ("span.value", "span.interval") for text in Page(page).inside(opened)]
        assert len(cells) > 100
        unit = rf"(%|ms|arcmin|points|mph|km/h|rpm|min|deg|{lengths})"
        for cell in cells:
            if re.search(r"\d", cell) and not re.fullmatch(r"\d+:\d\d", cell):  # a clock face is a unit of its own
                assert re.search(rf"\d {unit}\b|\d %", cell), cell
                assert not re.search(r"(^|\s)[+-]\d", cell), cell  # a direction in words, no bare sign


def test_a_metric_page_has_no_us_unit_left(metric: str) -> None:
    page = Page(metric)
    labels = " ".join(value or "" for _, found in page.elements for key, value in found.items() if key == "aria-label")
    for text in (page.words(), labels):
        assert not re.search(r"\d[\d.,]* in\b(?! \d+ of)|\b(ft|mph)\b", text)
        assert "feet" not in text
        assert "inch" not in text
    block = json.loads("".join(page.inside("script."))[: -len(page.inside("script.")[-1])])
    assert (block["distance"]["symbol"], block["length"]["symbol"]) == ("m", "cm")


def test_metric_numbers_are_the_us_numbers(html: str, metric: str) -> None:
    """A foot is 0.3048 m, an inch 2.54 cm, by definition; a number is off by half of its last digit at most."""
    sizes = {"ft": ("m", 0.3048, 0.05), "in": ("cm", 2.54, 0.05)}
    pairs = zip(Page(html).inside("span.value"), Page(metric).inside("span.value"), strict=True)
    seen = set()
    for us, other in pairs:
        found = re.match(r"([\d.]+) (ft|in)\b", us)
        if not found:
            continue
        symbol, factor, half = sizes[found[2]]
        number = re.match(rf"([\d.]+) {symbol}\b", other)
        assert number, other
        assert float(number[1]) == pytest.approx(factor * float(found[1]), abs=factor * half + 0.0501)
        seen.add(found[2])
    assert seen == {"ft", "in"}


def test_cautions_and_limits_are_on_the_page(html: str, material: Material) -> None:
    words = Page(html).words()
    for caution in material.levers.cautions:
        assert caution in words
    assert "What the model does not know" in words
    assert f"seed {material.scenario.seed}" in words


def test_a_young_arm_is_told_of_at_the_top(material: Material) -> None:
    young = cautions(material.scenario.pitcher.model_copy(update={"age_years": 12.0}), proposes_more=False)
    page = Page(render(replace(material, compared=replace(material.compared, cautions=young)), "us"))
    assert "advises against breaking balls under 14" in "".join(page.inside("header."))


def test_two_pitches_stand_side_by_side_one_stands_alone(html: str, material: Material) -> None:
    one = Page(render(showing(material, {"curve_standard": "curve_standard"}), "us"))
    options = [found["value"] for tag, found in one.elements if tag == "option"]
    assert options == ["1", "0.25", "0.1", "curve_standard", "beside", "same_line"]
    two = Page(html)
    options = [found["value"] for tag, found in two.elements if tag == "option"]
    assert options[3:6] == ["curve_spike", "curve_standard", ""]


def test_a_staff_of_five_has_a_page_and_six_are_refused(material: Material) -> None:
    def staff(count: int) -> str:
        return render(showing(material, {f"curve_{number}": "curve_spike" for number in range(count)}), "us")

    five = staff(MOST_PITCHES)
    assert len(five.encode()) < 3e6
    figures = [found for tag, found in Page(five).elements if tag == "figure"]
    assert (
        len([one for one in figures if one.get("class") == "unprinted"]) == 3 * 5
    )  # still, side, top, arrival, belief
    with pytest.raises(InputError, match="a page shows 5 pitches at most, here are 6"):
        staff(MOST_PITCHES + 1)


def showing(material: Material, names: dict[str, str]) -> Material:
    """Material of other pitches: new names, and which of the pitches each is."""
    found, drawn = material.compared.result, material.portrayed.result
    compared = replace(found, pitches={name: found.pitches[own] for name, own in names.items()})
    portrayed = replace(drawn, pitches={name: replace(drawn.pitches[own], name=name) for name, own in names.items()})
    return replace(
        material,
        compared=replace(material.compared, result=compared),
        portrayed=replace(material.portrayed, result=portrayed),
    )


def changed(material: Material, **estimates: Estimate) -> Material:
    """Material with other estimates for the first pitch."""
    compared = material.compared
    name = next(iter(compared.result.pitches))
    pitches = {**compared.result.pitches, name: {**compared.result.pitches[name], **estimates}}
    result: Answer[CompareResult] = replace(compared, result=replace(compared.result, pitches=pitches))
    return replace(material, compared=result)


def test_words_where_there_is_no_number(material: Material) -> None:
    page = Page(
        render(
            changed(
                material,
                same_line_separation_reached_percent=Estimate(0.0, 0.0),
                recognition_reached_percent=Estimate(31.0, 0.0),
                late_break_in=Estimate(float("nan"), float("nan")),
                miss_chance_percent=Estimate(29.0, 0.4),
            ),
            "us",
        )
    )
    values, words = page.inside("span.value"), page.words()
    for said in ("all the way to the plate", "no time is left", "never", "none"):
        assert said in values
    assert "Monte Carlo error 0.4 %" in words
    assert "nan" not in words.split()
    data = json.loads(page.inside("script.")[0])
    assert data["pitches"][0]["separation_ms"] is None


def test_the_script_gets_the_tracks_of_the_engine(material: Material) -> None:
    """Five decimals of a degree, a foot or a millisecond are kept."""
    portrayed = material.portrayed.result
    data = film(portrayed, material.compared.result, material.scenario, "us")
    for pitch, portrait in zip(data["pitches"], portrayed.pitches.values(), strict=True):
        for key in ("thrown", "same_line"):
            for column, values in pitch[key].items():
                np.testing.assert_allclose(values, getattr(getattr(portrait, key), column), atol=1e-5, rtol=0.0)


@pytest.mark.parametrize("name", ["two-grips", "left-eleven-to-five", "youth-46ft"])
def test_balls_stay_in_the_frame_until_the_commit_point(name: str) -> None:
    portrayed = portray(name, throws=100).result
    frame = eye_frame(portrayed)
    for portrait in portrayed.pitches.values():
        for track in (portrait.thrown, portrait.beside):
            until = track.time_ms <= portrait.commit_ms
            x = (track.right_deg - frame.left) * frame.scale
            y = (frame.top - track.up_deg) * frame.scale
            r = track.radius_deg * frame.scale
            assert np.all((x - r)[until] >= 0.0)
            assert np.all((x + r)[until] <= frame.width)
            assert np.all((y - r)[until] >= 0.0)
            assert np.all((y + r)[until] <= frame.height)
    plate = plate_frame(portrayed)
    for portrait in portrayed.pitches.values():
        assert 0.0 < plate.y(portrait.thrown.height_ft[-1]) < plate.height
        assert 0.0 < plate.x(portrait.thrown.side_ft[-1]) < plate.width


def test_a_fastball_over_his_head_makes_no_specks() -> None:
    """Thrown like a 55 mph curve a fastball passes high, and the one at its own target is there before he commits."""
    tables = load("two-grips").tables
    slow = {**tables["pitch"]["curve_spike"], "speed_mph": 55.0}
    mapping = {**tables, "pitch": {"fastball": tables["pitch"]["fastball"], "curve": slow}, "hitter": {}}
    portrait = (portrayed := portray(from_mapping(mapping).scenario, throws=100).result).pitches["curve"]
    assert portrait.beside.time_ms[-1] < portrait.commit_ms
    assert portrait.same_line.up_deg.max() > 45.0
    frame = eye_frame(portrayed)
    assert frame.width / frame.scale < 40.0
    until = portrait.thrown.time_ms <= portrait.commit_ms
    assert np.all((portrait.thrown.right_deg[until] > frame.left) & (portrait.thrown.up_deg[until] < frame.top))
    assert portrait.thrown.up_deg[until].min() > frame.top - frame.height / frame.scale


def test_rendering_is_no_work_beside_the_drawing(material: Material, monkeypatch: pytest.MonkeyPatch) -> None:
    """As a ratio, so that it holds on any machine: words and data take less than the pictures."""
    from latebreak.service.report import page as module
    from latebreak.service.report.pictures import draw

    start = process_time()
    pictures = draw(material, "us")
    drawn = process_time() - start
    monkeypatch.setattr(module, "draw", lambda *_: pictures)
    start = process_time()
    render(material, "us")
    assert process_time() - start < 0.5 * drawn


@pytest.mark.parametrize("content", ["", "<!DOCTYPE html>", " " + FIRST_LINE])
def test_what_is_no_page_is_left_alone(tmp_path: Path, content: str) -> None:
    place = tmp_path / "mine.html"
    place.write_text(content, encoding="utf-8")
    with pytest.raises(OutputFileError, match="no page of latebreak report and is not overwritten"):
        save(place, FIRST_LINE)
    assert place.read_text(encoding="utf-8") == content
    place.write_text(FIRST_LINE + " old", encoding="utf-8")
    save(place, FIRST_LINE + " new")
    assert place.read_text(encoding="utf-8") == FIRST_LINE + " new"
