//! The calendar file, read back by another library than the one that writes it.

use super::*;
use crate::day::ids::LoadId;
use calcard::icalendar::{ICalendar, ICalendarComponentType};

/// 12 September 2026, 20:00 UTC: 3 p.m. in Chicago, and 3 a.m. there twelve hours later.
const LIFTED: Timestamp = Timestamp(1_789_243_200_000);

fn load(name: &str, unchecked: u32, sealed: u32) -> LeftToDo {
    let jars = |count: u32| match count {
        0 => BTreeMap::new(),
        count => BTreeMap::from([(name.to_owned(), count)]),
    };
    LeftToDo {
        load: LoadId::try_from("l1").unwrap(),
        number: 1,
        unchecked: jars(unchecked),
        sealed: jars(sealed),
        from: Timestamp(LIFTED.0 + 12 * HOUR_MS),
        by: Timestamp(LIFTED.0 + 24 * HOUR_MS),
        changed_at: LIFTED,
    }
}

fn chicago() -> TimeZone {
    // As in the time zone database for a September: five hours behind.
    TimeZone::fixed(jiff::tz::offset(-5))
}

fn written(left: &LeftToDo, language: &str) -> String {
    let words = Words::of(language);
    let left = std::slice::from_ref(left);
    calendar("Pear day", Uuid::from_u128(7), left, words, &chicago()).to_string()
}

#[test]
fn the_lines_are_those_of_rfc_5545() {
    let name = "Halves; with \\ back, slash 🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐🍐 \nBEGIN:VEVENT";
    for language in ["en", "es"] {
        let text = written(&load(name, 7, 2), language);
        assert!(
            text.ends_with("END:VCALENDAR\r\n"),
            "3.1: lines end with CRLF"
        );
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count());
        for line in text.split("\r\n") {
            assert!(line.len() <= 75, "3.1: 75 octets: {line:?}");
        }
        let starts = |wanted: &str| text.lines().filter(|line| *line == wanted).count();
        assert_eq!(
            starts("BEGIN:VEVENT"),
            1,
            "3.3.11: what people typed opens nothing"
        );
        assert_eq!(starts("BEGIN:VTODO"), 1);
        assert_eq!(starts("BEGIN:VALARM"), 3);
        assert_eq!(
            starts("UID:00000000-0000-0000-0000-000000000007-l1-seals"),
            1
        );
        assert_eq!(starts("DTSTAMP:20260912T200000Z"), 2);
        assert_eq!(starts("DTSTART:20260913T080000Z"), 2);
        assert_eq!(starts("DTEND:20260913T200000Z"), 1);
        assert_eq!(starts("DUE:20260913T200000Z"), 1);
    }
}

#[test]
fn another_reader_finds_the_same_times_and_words() {
    let name = "Halves; with \\ back, slash";
    let text = written(&load(name, 7, 0), "en");
    let read = ICalendar::parse(&text).unwrap();
    let find = |kind| {
        let mut found = read
            .components
            .iter()
            .filter(|one| one.component_type == kind);
        let one = found.next().unwrap();
        assert!(found.next().is_none(), "one of it");
        one
    };
    let event = find(ICalendarComponentType::VEvent);
    assert_eq!(
        event.uid(),
        Some("00000000-0000-0000-0000-000000000007-l1-seals")
    );
    let todo = find(ICalendarComponentType::VTodo);
    assert_eq!(
        todo.uid(),
        Some("00000000-0000-0000-0000-000000000007-l1-shelve")
    );
    let alarms = |of: &calcard::icalendar::ICalendarComponent| of.component_ids.len();
    assert_eq!((alarms(event), alarms(todo)), (2, 1));
    let said = |of: &calcard::icalendar::ICalendarComponent, name: &str| {
        let entry = of.entries.iter().find(|entry| entry.name.as_str() == name);
        let value = entry.unwrap().values.first().unwrap();
        value.as_text().unwrap().to_owned()
    };
    assert_eq!(said(event, "SUMMARY"), "Check the seals: load 1");
    let description = said(event, "DESCRIPTION");
    assert!(
        description.starts_with(&format!("7 {name}\n")),
        "{description}"
    );
    // Lifted at 3 p.m.: processed again until 3 p.m. of the next day, rule `unsealed-window`.
    assert!(description.contains("until 15:00 only"), "{description}");
    let moment = |of: &calcard::icalendar::ICalendarComponent, name: &str| {
        let entry = of.entries.iter().find(|entry| entry.name.as_str() == name);
        let at = entry
            .unwrap()
            .values
            .first()
            .unwrap()
            .as_partial_date_time()
            .unwrap();
        at.to_date_time()
            .unwrap()
            .date_time
            .and_utc()
            .timestamp_millis()
    };
    assert_eq!(
        moment(event, "DTSTART"),
        LIFTED.0 + 12 * HOUR_MS,
        "rule `cool-time`"
    );
    assert_eq!(
        moment(event, "DTEND"),
        LIFTED.0 + 24 * HOUR_MS,
        "rule `unsealed-window`"
    );
    assert_eq!(moment(todo, "DUE"), LIFTED.0 + 24 * HOUR_MS);
}

#[test]
fn nobody_is_woken_in_the_night() {
    // The window opens at 3 a.m. there: the first reminder comes at seven.
    let night = load("Pears", 7, 0);
    assert!(written(&night, "en").contains("TRIGGER;VALUE=DATE-TIME:20260913T120000Z"));
    // At an hour when people are up it comes when the window opens.
    let mut day = load("Pears", 7, 0);
    day.from = Timestamp(LIFTED.0 + 18 * HOUR_MS + 60_000);
    assert_eq!(rings_at(day.from, day.by, &chicago()), day.from);
    // Never after the window.
    let short = Timestamp(night.from.0 + HOUR_MS);
    assert_eq!(rings_at(night.from, short, &chicago()), night.from);
}

#[test]
fn a_checked_load_only_wants_to_be_shelved_and_a_day_without_loads_has_an_empty_file() {
    let text = written(&load("Pears", 0, 7), "en");
    assert!(!text.contains("VEVENT") && text.contains("VTODO"));
    let none = calendar("Day", Uuid::nil(), &[], Words::of("en"), &chicago()).to_string();
    assert!(
        none.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"),
        "{none}"
    );
}
