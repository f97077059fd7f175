"""The plant's own settings, from plant.toml: each checked, dated, and made a draft.

A body holds no float: a measure is text with its unit ("21.6 kg/m3"), a share is text ("0.03").
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from beadwright.errors import Fault, position
from beadwright.interop.sheets.cells import BadCell
from beadwright.interop.sheets.clock import Clock
from beadwright.interop.sheets.known import KnownSetting, Person
from beadwright.interop.sheets.layout import read_toml
from beadwright.interop.sheets.register import Register
from beadwright.interop.sheets.topics import ROLES, TOPICS, Rule, references
from beadwright.ledger.checks import SKEW_MS
from beadwright.ledger.draft import SettingDraft
from beadwright.ledger.texts import unreadable, visible
from beadwright.plant.bodies import NAMES
from beadwright.plant.door import now_ms
from beadwright.plant.setting_words import unmeant, wrong_words

__all__ = ["Setup", "check_references", "read_setup", "state"]

_AHEAD = "since lies in the future"

_CURRENCY = re.compile(r"[A-Z]{3}")


@dataclass(slots=True)
class Setup:
    """What one settings file says."""

    file: str
    plant: str = ""
    people: list[Person] = field(default_factory=list)
    drafts: list[SettingDraft] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    named: set[tuple[str, str]] = field(default_factory=set)
    """Topic and name of all that is stated, what has a fault included."""

    def fault(self, key: str, value: object, what: str, remedy: str) -> None:
        """Note a fault of a key."""
        where = position(self.file, None, key)
        self.faults.append(Fault("setting_invalid", what, str(value), where, remedy))


def read_setup(path: Path, zone: str = "") -> Setup:
    """Read a settings file; what refers to another setting is checked by ``check_references``.

    ``zone`` is that of the plant in the record, where there is one: then a file without [plant] is
    taken for it, and each of its settings says since when.
    """
    setup = Setup(path.name)
    raw = read_toml(path)
    if isinstance(raw, Fault):
        setup.faults.append(raw)
        return setup
    plant = raw.get("plant")
    since: dt.date | None = None
    if plant is None and zone:
        clock: Clock | None = Clock("YYYY-MM-DD", zone)
    elif not isinstance(plant, dict):
        setup.fault("plant", "", "no [plant] is stated", "State its code, name, zone and since.")
        return setup
    else:
        clock = _plant(setup, plant)
        since = plant.get("since")
    if clock is None:
        return setup
    for topic, names in raw.items():
        if topic == "people":
            _people(setup, names, (clock, since))
        elif topic in TOPICS:
            _topic(setup, topic, names, (clock, since))
        elif topic != "plant":
            remedy = f"There are {', '.join(('plant', 'people', *TOPICS))}."
            setup.fault(topic, "", f"no setting is called [{topic}]", remedy)
    return setup


def check_references(setups: Sequence[Setup], register: Register) -> None:
    """Note every setting that names a product, grade or place nobody set, or no limit we carry."""
    named = {name for setup in setups for name in setup.named}
    for setup in setups:
        for draft in setup.drafts:
            for key, topic, name in references(draft):
                if (topic, name) not in named and not register.versions(topic, name):
                    what = f'no {topic} is called "{name}"'
                    remedy = f"Correct it, or set [{topic}.{name}]."
                    setup.fault(f"{draft.topic}.{draft.name}{key}", name, what, remedy)
            for key, what in unmeant(draft.topic, draft.body):
                where, value = f"{draft.topic}.{draft.name}.{key}", draft.body.get(key, "")
                setup.fault(where, value, f"{key} {what}", "Correct it.")


def _plant(setup: Setup, plant: Mapping[str, Any]) -> Clock | None:
    """Read [plant]; everything else is dated by its zone and day."""
    for key in ("code", "name", "zone"):
        if not isinstance(plant.get(key), str) or not plant[key]:
            setup.fault(f"plant.{key}", plant.get(key, ""), f"{key} must be text", "State it.")
    if not _is_day(plant.get("since")):
        what = "since must be a day"
        setup.fault("plant.since", plant.get("since", ""), what, "Write since = 2026-09-01.")
    _plant_may(setup, plant)
    if setup.faults:
        return None
    try:
        clock = Clock("YYYY-MM-DD", plant["zone"])
    except BadCell as bad:
        setup.fault("plant.zone", plant["zone"], bad.what, bad.remedy)
        return None
    if clock.day(plant["since"]) > now_ms() + SKEW_MS:
        setup.fault("plant.since", plant["since"], _AHEAD, "Correct the day.")
        return None
    setup.plant = plant["code"]
    body: dict[str, object] = {"name": plant["name"], "zone": plant["zone"]}
    body |= {key: plant[key] for key in ("invented", "currency") if plant.get(key)}
    setup.drafts.append(_draft("plant", setup.plant, body, (clock, plant["since"])))
    return clock


def _plant_may(setup: Setup, plant: Mapping[str, Any]) -> None:
    """Look at what [plant] need not state."""
    if not isinstance(plant.get("invented", False), bool):
        what = "invented must be true or false"
        setup.fault("plant.invented", plant["invented"], what, "Write invented = true.")
    currency = plant.get("currency", "EUR")
    if not (isinstance(currency, str) and _CURRENCY.fullmatch(currency)):
        what = "currency must be the three capital letters of its code (ISO 4217)"
        setup.fault("plant.currency", currency, what, 'Write currency = "EUR".')
    for key in plant.keys() - {"code", "name", "zone", "since", "invented", "currency"}:
        setup.fault(f"plant.{key}", plant[key], f'[plant] knows no "{key}"', "Take it out.")


def _people(setup: Setup, people: object, dated: tuple[Clock, dt.date | None]) -> None:
    """Read [people]: names are kept beside the record, roles are settings in it."""
    clock, since = dated
    if since is None:
        what = "[people] is dated by [plant], and none is stated"
        setup.fault("people", "", what, "State [plant] with its code, name, zone and since.")
        return
    if not isinstance(people, dict):
        setup.fault("people", people, "[people] must be a table", "Write KR = { id = … }.")
        return
    for initials, person in people.items():
        key = f"people.{initials}"
        if not isinstance(person, dict) or set(person) != {"id", "name", "role"}:
            what = "a person has id, name and role"
            setup.fault(key, person, what, f"Write {initials} = {{ id = …, name = …, role = … }}.")
        elif not all(isinstance(value, str) and value for value in person.values()):
            setup.fault(key, person, "id, name and role must be text", "Write them in quotes.")
        elif person["role"] not in ROLES:
            what = f'"{person["role"]}" is no role'
            setup.fault(f"{key}.role", person["role"], what, f"There are {', '.join(ROLES)}.")
        elif odd := unreadable("".join([initials, *person.values()])):
            what = f"it holds {', '.join(map(ascii, odd[:3]))}, which nobody can read"
            setup.fault(visible(key), "", what, "Write it without.")
        else:
            setup.people.append(Person(person["id"], initials, person["name"], person["role"]))
            setup.drafts.append(
                _draft("role", person["id"], {"role": person["role"]}, (clock, since))
            )


def _topic(setup: Setup, topic: str, names: object, dated: tuple[Clock, dt.date | None]) -> None:
    if not isinstance(names, dict):
        setup.fault(topic, names, f"[{topic}] must be a table", f"Write [{topic}.NAME].")
        return
    for name, stated in names.items():
        key = f"{topic}.{name}"
        setup.named.add((topic, name))
        if not isinstance(stated, dict):
            setup.fault(key, stated, f"[{key}] must be a table", f"Write [{key}] and its values.")
            continue
        since = stated.get("since", dated[1])
        if name not in NAMES.get(topic, {name}):
            words = ", ".join(sorted(NAMES[topic]))
            setup.fault(key, name, f"[{topic}] knows no {name}", f"There are {words}.")
            continue
        body = {item: value for item, value in stated.items() if item != "since"}
        if since is None:
            what = "it does not say since when, and no [plant] does"
            setup.fault(f"{key}.since", "", what, "Write since = 2026-09-01.")
        elif not _is_day(since):
            setup.fault(f"{key}.since", since, "since must be a day", "Write since = 2026-09-01.")
        elif dated[0].day(since) > now_ms() + SKEW_MS:
            setup.fault(f"{key}.since", since, _AHEAD, "Import it when that day has come.")
        elif _body_is_fit(setup, key, body, TOPICS[topic]):
            setup.drafts.append(_draft(topic, name, body, (dated[0], since)))


def _body_is_fit(
    setup: Setup, key: str, body: Mapping[str, Any], rules: Mapping[str, Rule]
) -> bool:
    before = len(setup.faults)
    for name, rule in rules.items():
        if name in body:
            what = rule.check(body[name])
            if what:
                setup.fault(f"{key}.{name}", body[name], f"{name} {what}", "Correct the value.")
        elif rule.required:
            setup.fault(f"{key}.{name}", "", f"{name} is not stated", f"State {name}.")
    if len(setup.faults) == before:
        for name, what in wrong_words(key.partition(".")[0], body):
            setup.fault(f"{key}.{name}", body[name], f"{name} {what}", "Correct the value.")
    for name in body.keys() - rules.keys() - {"title", "note"}:
        remedy = f"It knows {', '.join(rules)}."
        setup.fault(f"{key}.{name}", body[name], f'[{key}] knows no "{name}"', remedy)
    return len(setup.faults) == before


def _draft(
    topic: str, name: str, body: Mapping[str, object], dated: tuple[Clock, dt.date]
) -> SettingDraft:
    clock, since = dated
    at = clock.day(since)
    return SettingDraft(f"setting/{topic}/{name}/{since.isoformat()}", at, topic, name, body, at)


def _is_day(value: object) -> bool:
    return isinstance(value, dt.date) and not isinstance(value, dt.datetime)


def state(setup: Setup, register: Register) -> None:
    """Make people and settings known to the rows that follow."""
    for person in setup.people:
        register.people[person.initials] = person
    for draft in setup.drafts:
        version = KnownSetting(draft.happened_at, draft.body)
        register.state(draft.topic, draft.name, version)
