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
from latebreak.service.quantities import Reader
from latebreak.service.questions import Answer, CompareResult, Estimate, aim, compare, mix, portray
from latebreak.service.questions.aim_words import why_there
from latebreak.service.questions.mix_words import why_so
from latebreak.service.report.film import WIDTH, film
from latebreak.service.report.material import Material, gather
from latebreak.service.report.page import MOST_PITCHES, render, render_card
from latebreak.service.report.saving import FIRST_LINE, save
from latebreak.service.report.words import verdict
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
def card(material: Material) -> str:
    return render_card(material, "us")


@pytest.fixture(scope="module")
def hostile() -> str:
    tables = load("two-grips").tables
    mapping = {
        **tables,
        "title": "<b>bold</b> {{ title }} </title><script>alert(3)</script>",
        "pitch": {HOSTILE[name]: entry for name, entry in tables["pitch"].items()},
        "hitter": {"expects": {HOSTILE[name]: share for name, share in tables["hitter"]["expects"].items()}},
    }
    return render(gather(from_mapping(mapping).scenario, throws=50), "us")


def test_it_says_what_it_is(html: str, material: Material) -> None:
    assert html.startswith(FIRST_LINE + "\n")
    page = Page(html)
    assert page.attribute("html")["lang"] == "en"
    assert page.inside("title.")[0] == material.scenario.title
    assert page.attribute("meta", name="viewport")["content"] == "width=device-width, initial-scale=1"
    assert page.attribute("meta", name="referrer")["content"] == "no-referrer"
    assert page.attribute("link", rel="icon")["href"] == "data:,"
    assert str(verdict(material.scenario, material.compared.result)) in "".join(page.inside("header."))


def test_people_read_names_and_no_keys(html: str, metric: str, card: str) -> None:
    for page in (html, metric, card):
        words = Page(page).words()
        assert not re.search(r"\w_\w", words), re.findall(r"\S*\w_\w\S*", words)
        assert not re.search(r"\b(draws?|coefficients?|root|monotone|nan|None)\b", words)
        assert "Curve spike" in words


def test_the_sheet_holds_what_hangs_in_a_locker(card: str, material: Material) -> None:
    page = Page(card)
    words = page.words()
    assert str(verdict(material.scenario, material.compared.result)) in "".join(page.inside("header."))
    assert "he must decide" in words
    assert "To be measured next" in words
    assert len([tag for tag, found in page.elements if tag == "svg" and found.get("class") == "drawn"]) <= 1
    for caution in material.reached.cautions:
        assert caution in words
    assert "script" not in {tag for tag, _ in page.elements}


def part(html: str, name: str) -> str | None:
    """One folded part of the page, by its heading's id; None where there is none."""
    folded = html[html.index('<details class="all"') : html.index("</details>")]
    found = re.search(rf'<section class="asked" aria-labelledby="{name}-title">.*?</section>', folded, re.DOTALL)
    return found and found[0]


def test_where_to_aim_and_how_often_to_throw_are_folded_below(material: Material, html: str, metric: str) -> None:
    assert material.aimed.result.pitch == material.pitch
    assert material.mixed is not None
    for page, units in ((html, "us"), (metric, "metric")):
        reader = Reader("us" if units == "us" else "metric", material.scenario.pitcher.hand)
        told = {
            "aim": why_there(material.scenario, material.aimed.result, reader),
            "mix": why_so(material.scenario, material.mixed.result, reader),
        }
        for name, sentences in told.items():
            found = part(page, name)
            assert found is not None
            read = " ".join("".join(Page(found).inside("p.")).split())
            assert len(sentences) >= 2
            for one in sentences:
                assert str(one) in read
            assert f'id="{name}-best' in found


def test_the_page_and_the_questions_give_one_answer(material: Material) -> None:
    aimed = aim("two-grips", pitch=material.pitch, throws=300).result
    assert material.aimed.result.best == aimed.best
    assert material.aimed.result.gain == aimed.gain
    assert material.mixed is not None
    assert material.mixed.result.best == mix("two-grips", throws=300).result.best


def test_a_mix_that_is_refused_is_left_out() -> None:
    """Nine pitches are too many for `mix`; the page is about one of them, and tells where to aim it."""
    tables = load("two-grips").tables
    pitches = {"fastball": tables["pitch"]["fastball"]}
    pitches |= {f"curve_{number}": tables["pitch"]["curve_spike"] for number in range(8)}
    many = {key: value for key, value in tables.items() if key != "hitter"} | {"pitch": pitches}
    scenario = from_mapping(many).scenario
    with pytest.raises(InputError, match="a mix of 9 pitches can't be searched"):
        mix(scenario, throws=100)
    found = gather(scenario, pitches=["curve_0"], throws=20)
    assert found.mixed is None
    page = render(found, "us")
    assert part(page, "aim") is not None
    assert part(page, "mix") is None
    assert "How often to throw it" not in page


def test_a_pitch_that_can_be_thrown_nowhere_is_not_aimed(material: Material) -> None:
    aimed = material.aimed.result
    nowhere = replace(aimed, grid=tuple(replace(one, value=None) for one in aimed.grid))
    page = render(replace(material, aimed=replace(material.aimed, result=nowhere)), "us")
    assert part(page, "aim") is None
    assert part(page, "mix") is not None


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
        {"type": "application/json", "id": "data"},
        {},
    ]
    assert not [key for _, attributes in page.elements for key in attributes if key.startswith("on")]
    words = page.words()
    for name in HOSTILE.values():
        assert name in words
    assert "49" not in "".join(page.inside("h2."))  # what {{ 7*7 }} would have come to
    assert "<b>bold</b> {{ title }} </title><script>alert(3)</script>" in words


def test_data_can_not_end_its_block(hostile: str) -> None:
    block = re.search(r'<script type="application/json" id="data">(.*?)</script>', hostile, re.DOTALL)
    assert block
    assert not re.search("[<>&\u2028\u2029]", block[1])
    assert len(json.loads(block[1])["pitches"]) == 2


def test_every_number_of_the_table_has_a_unit(html: str, metric: str) -> None:
    for page, lengths in ((html, "ft|in"), (metric, "m|cm")):
        read = [one for one in Page(page).texts if not any(opened.startswith("table.three") for opened in one[0])]
        cells = [text for path, text in read if path and path[-1] in ("span.value", "span.interval")]
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
        assert not re.search(r"\d[\d.,]* in\b(?! (\d+ of|place))|\b(ft|mph)\b", text)
        assert "feet" not in text
        assert "inch" not in text


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


def test_a_staff_of_five_has_a_page_and_six_are_refused(material: Material) -> None:
    def staff(count: int) -> Material:
        return showing(material, {f"curve_{number}": "curve_spike" for number in range(count)})

    five = render(staff(MOST_PITCHES), "us")
    assert len(five.encode()) < 3e6
    panels = [found for tag, found in Page(five).elements if tag == "figure" and found.get("class") == "panel"]
    assert [one["data-pitch"] for one in panels] == ["0", "1", "2", "3", "4"]
    for make in (render, render_card):
        with pytest.raises(InputError, match="a page shows 5 pitches at most, here are 6"):
            make(staff(MOST_PITCHES + 1), "us")


def showing(material: Material, names: dict[str, str]) -> Material:
    """Material of other pitches: new names, and which of the pitches each is."""
    found, drawn = material.compared.result, material.portrayed.result
    compared = replace(found, pitches={name: found.pitches[own] for name, own in names.items()})
    portrayed = replace(drawn, pitches={name: replace(drawn.pitches[own], name=name) for name, own in names.items()})
    return replace(
        material,
        pitch=next(iter(names)),
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
                tunnel_exit_reached_percent=Estimate(0.0, 0.0),
                recognition_reached_percent=Estimate(31.0, 0.0),
                late_break_in=Estimate(float("nan"), float("nan")),
                arrival_surprise_side_in=Estimate(float("nan"), float("nan")),
                miss_chance_percent=Estimate(29.0, 0.4),
            ),
            "us",
        )
    )
    values, words = page.inside("span.value"), page.words()
    for said in ("all the way to the plate", "no time is left", "never", "none"):
        assert said in values
    for said in ("stays in the tunnel", "he never knows it", "No throw of it arrives."):
        assert said in words
    assert "Monte Carlo error 0.4 %" in words
    assert "nan" not in words.split()
    assert len([tag for tag, found in page.elements if found.get("class") == "ring"]) == 1  # the other pitch's


def test_the_script_gets_the_tracks_of_the_engine(material: Material) -> None:
    """Four decimals of a degree or a millisecond are kept."""
    portrayed = material.portrayed.result
    data = film(portrayed, material.compared.result.pitches, material.scenario, Reader()).data
    for pitch, portrait in zip(data["pitches"], portrayed.pitches.values(), strict=True):
        for column, values in pitch["thrown"].items():
            np.testing.assert_allclose(values, getattr(portrait.thrown, column), atol=1e-4, rtol=0.0)


@pytest.mark.parametrize("name", ["two-grips", "left-eleven-to-five", "youth-46ft"])
def test_the_still_picture_is_the_model_s(name: str) -> None:
    scenario = load(name).scenario
    portrayed = portray(scenario, throws=100).result
    compared = compare(scenario, throws=100, intervals=False).result.pitches
    made = film(portrayed, compared, scenario, Reader("us", scenario.pitcher.hand))
    for panel, (key, portrait) in zip(made.panels, portrayed.pitches.items(), strict=True):
        for ball, track in ((panel.own, portrait.thrown), (panel.fastball, portrait.beside)):
            right, up, radius = (
                np.interp(portrait.decides_ms, track.time_ms, one)
                for one in (track.right_deg, track.up_deg, track.radius_deg)
            )
            assert (ball.x, ball.y) == pytest.approx((made.eye.x(right), made.eye.y(up)))
            assert ball.r == pytest.approx(made.eye.scale * radius)
            # all of the way is in the picture, and the ball whole
            ways = np.array([[float(one) for one in pair.split(",")] for pair in ball.way.split()])
            assert np.all((ways > 0.0) & (ways < [WIDTH, made.eye.height]))
            assert ball.r < ball.x < WIDTH - ball.r
            assert ball.r < ball.y < made.eye.height - ball.r
        # the ball lies off the cross by what compare says, in the scale of the picture: in of ft
        assert panel.ring is not None
        off = 12.0 * np.array([panel.end_x - panel.ring.middle_x, panel.ring.middle_y - panel.end_y]) / made.plate.scale
        told = [compared[key][f"arrival_surprise_{way}_in"].value for way in ("side", "vertical")]
        assert off == pytest.approx(told, abs=1e-9)
        assert 0.0 < panel.ring.rx < panel.ring.x < WIDTH - panel.ring.rx
        assert 0.0 < panel.ring.ry < panel.ring.y < made.plate.height - panel.ring.ry


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
