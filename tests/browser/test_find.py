"""People by any digits of their number or letters of their name, fast enough to follow the thumb."""

from __future__ import annotations

import pytest

from browser.devices import Device

pytestmark = pytest.mark.browser

PEOPLE = """const { Board } = await import('/store/board.js'); const { View } = await import('/store/view.js');
  const board = new Board();
  const first = ['Ruth', 'Nils', 'Orla', 'Zoë', 'Marguerite', 'Theodora', 'Wendell', 'Augustin'];
  const last = ['Amsel', 'Bergqvist', 'Tennick', 'Grünwald', 'Okafor', 'Lindenmayer', 'Vashti-Holloway', 'Péreau'];
  for (let i = 0; i < 5000; i += 1) {
    const phone = `+1715555${String(i).padStart(4, '0')}`;
    board.apply({ table: 'person', id: `p${i}`, name: `${first[i % 8]} ${last[(i >> 3) % 8]} ${i}`, phone });
  }
  board.apply({ table: 'person', id: 'hidden', name: 'Ruth Hidden', phone: '+17155550000', hidden: true });
  known.view = new View(board);"""


def test_five_thousand_people_are_searched_in_half_of_what_folding_their_names_takes(device_of_the_file: Device) -> None:
    """The first search folds all names once; those after it look only, each at its quickest of seven beside folding in the same page.

    How many milliseconds it is on a slowed processor says scripts/bench_mirror.
    """
    ratios = device_of_the_file.js("const { fold } = await import('/store/find.js');" + PEOPLE + """
      find('5');
      const people = [...known.view.people.values()];
      const quickest = (work) => Math.min(...Array.from({ length: 7 }, () => { const begun = performance.now(); work(); return performance.now() - begun; }));
      const folding = quickest(() => people.map(({ name }) => fold(name)));
      return ['55', '4321', '715555', 'r', 'gru', 'zoe pereau', 'holl', 'zzz'].map((text) => quickest(() => find(text)) / folding);""")
    assert sorted(ratios)[len(ratios) // 2] < 0.5, ratios


def test_digits_anywhere_and_the_last_four_first(device_of_the_file: Device) -> None:
    """`1234` is found as the end of a number, with its place marked; digits in the middle count too."""
    found, middle = device_of_the_file.js(PEOPLE + """return ['1234', '55512'].map((text) => find(text)
        .map(({person, by, from, to}) => [person.id, by, person.phone.slice(from, to)]));""")
    assert found[0] == ["p1234", "number", "1234"]
    middle = [digits for _, _, digits in middle]
    assert middle and set(middle) == {"55512"}


def test_letters_without_accents_or_case(device_of_the_file: Device) -> None:
    """`gru` finds Grünwald with the place marked as it is written; the start of the name comes before the middle."""
    found, shouted = device_of_the_file.js(PEOPLE + """return ['gru', 'AUGUSTIN'].map((text) => find(text)
        .map(({person, by, from, to}) => [by, person.name, person.name.slice(from, to)]));""")
    assert found[0][0] == "name" and found[0][2] == "Grü"
    assert shouted[0][1].startswith("Augustin")


def test_hidden_people_are_left_out(device_of_the_file: Device) -> None:
    """Whoever asked to be forgotten does not come up."""
    assert device_of_the_file.js(PEOPLE + "return find('hidden')") == []


def test_nothing_typed_finds_nobody(device_of_the_file: Device) -> None:
    """Blank text and signs alone."""
    assert device_of_the_file.js("return [find(''), find('  '), find('()-')]") == [[], [], []]
