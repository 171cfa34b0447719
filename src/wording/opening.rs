//! When a practice is open, out of its `practice.yaml`: `time-zone`, `open` and `holidays`.

use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::clock;
use crate::dates::PartialDate;
use crate::fields::{Fields, File};
use crate::hours::{Holidays, Hours, Shut, Span, Week, zone};
use crate::mistakes::wording::{
    ClosesBeforeOpening, DayToldTwice, HolidayDoesNotFit, HoursOverlap, NeverOpen,
    OpeningDoesNotFit, ShutTooLong, TimeZoneUnknown, WeekdayUnknown,
};
use crate::tree::{Node, Path, shown};
use crate::words::{closest, folded};

/// The keys this part of the file has.
pub const KEYS: &[&str] = &["time-zone", "open", "holidays"];

/// The words of a day on which nobody is in, and of one without an end.
const SHUT: &[&str] = &["shut", "closed"];
const ALL_DAY: &str = "all day";

/// The days of the week, Monday first, as they are written whole and short.
pub const DAYS: [(&str, &[&str]); 7] = [
    ("monday", &["mon"]),
    ("tuesday", &["tue", "tues"]),
    ("wednesday", &["wed"]),
    ("thursday", &["thu", "thur", "thurs"]),
    ("friday", &["fri"]),
    ("saturday", &["sat"]),
    ("sunday", &["sun"]),
];
/// All of them.
pub const EVERY_DAY: &str = "every day";

/// When the practice is open. `None` where it told neither hours nor holidays nor its zone, or has mistakes, which are noted. With
/// a zone alone it is open round the clock; with holidays alone, on all other days.
pub(super) fn read(fields: &Fields<'_>) -> Option<Hours> {
    if KEYS.iter().all(|key| fields.get(key).is_none()) {
        return None;
    }
    let file = fields.file;
    let faults = file.count();
    let zone = time_zone(fields);
    let week = match fields.get("open") {
        Some(_) => opening(fields),
        None => Week::round_the_clock(),
    };
    let holidays = Holidays::new(holidays(fields));
    if file.count() > faults {
        return None;
    }
    match Hours::new(zone?, week, holidays) {
        Ok(hours) => Some(hours),
        Err(Shut::EveryDay) => {
            file.fault(&fields.at("open"), NeverOpen {});
            None
        }
        Err(Shut::TooLong { first, last }) => {
            let (first, last) = (first.to_string(), last.to_string());
            file.fault(&fields.at("holidays"), ShutTooLong { first, last });
            None
        }
    }
}

fn time_zone(fields: &Fields<'_>) -> Option<TimeZone> {
    let _ = fields.need("time-zone");
    let name = fields.text("time-zone")?;
    let found = zone::named(&name);
    if found.is_none() {
        fields.file.fault(
            &fields.at("time-zone"),
            TimeZoneUnknown {
                zone: shown(&name),
                close: zone::close(&name),
            },
        );
    }
    found
}

fn opening(fields: &Fields<'_>) -> Week {
    let file = fields.file;
    let mut week: [Option<Vec<Span>>; 7] = std::array::from_fn(|_| None);
    for (key, node, way) in fields.entries("open") {
        let path = way.path();
        let spans = spans(file, node, &path);
        for day in days(file, key, &path) {
            match week.get_mut(day) {
                Some(told @ None) => *told = Some(spans.clone()),
                Some(_) => file.fault_at_key(
                    &path,
                    DayToldTwice {
                        day: DAYS[day].0.to_owned(),
                    },
                ),
                None => {}
            }
        }
    }
    Week::new(week.map(Option::unwrap_or_default))
}

/// The days a key names, from 0 for Monday: `monday`, `monday to friday`, `mon-fri`, `tuesday, thursday`, `every day`.
fn days(file: &File<'_>, key: &str, path: &Path) -> Vec<usize> {
    let mut found = Vec::new();
    for part in key.split(',') {
        let text = part.trim().to_lowercase();
        if text == EVERY_DAY {
            found.extend(0..DAYS.len());
            continue;
        }
        let ends = two(&text);
        let named = |name: &str| {
            let day = weekday(name);
            if day.is_none() {
                file.fault_at_key(
                    path,
                    WeekdayUnknown {
                        day: shown(name),
                        close: closest(name, DAYS.iter().map(|(day, _)| *day)),
                    },
                );
            }
            day
        };
        let first = named(ends.map_or(text.as_str(), |(first, _)| first));
        let last = ends.map_or(first, |(_, last)| named(last));
        if let (Some(first), Some(last)) = (first, last) {
            // From Saturday to Monday goes over the end of the week.
            let count = (last + DAYS.len() - first) % DAYS.len();
            found.extend((0..=count).map(|more| (first + more) % DAYS.len()));
        }
    }
    found
}

fn weekday(name: &str) -> Option<usize> {
    DAYS.iter()
        .position(|(day, short)| *day == name || short.contains(&name))
}

/// The open spans of a day: `9:00-17:00`, `9-12, 14-18`, a list of them, `all day` or `shut`.
fn spans(file: &File<'_>, node: &Node<'_>, path: &Path) -> Vec<Span> {
    let texts: Vec<(String, Path)> = match node {
        Node::List(items) => items
            .iter()
            .enumerate()
            .map(|(at, item)| (told(item), path.index(at)))
            .collect(),
        node => vec![(told(node), path.clone())],
    };
    let mut found: Vec<Span> = Vec::new();
    for (text, path) in &texts {
        if texts.len() == 1 && SHUT.contains(&folded(text).as_str()) {
            return Vec::new();
        }
        for part in text.split(',') {
            let Some(span) = span(file, part.trim(), path) else {
                continue;
            };
            if found.iter().any(|other| other.meets(span)) {
                let text = shown(part.trim());
                file.fault(path, HoursOverlap { text });
            }
            found.push(span);
        }
    }
    found
}

/// What a value says; its kind where it is no single value.
fn told(node: &Node<'_>) -> String {
    match node.scalar() {
        Some(text) => text.trim().to_owned(),
        None => node.kind().to_owned(),
    }
}

fn span(file: &File<'_>, text: &str, path: &Path) -> Option<Span> {
    if folded(text) == ALL_DAY {
        return Some(Span::DAY);
    }
    let times = two(text).and_then(|(from, to)| Some((clock::minutes(from)?, clock::minutes(to)?)));
    let Some((from, to)) = times else {
        file.fault(path, OpeningDoesNotFit { text: shown(text) });
        return None;
    };
    let span = Span::new(from, to);
    if span.is_none() {
        file.fault(
            path,
            ClosesBeforeOpening {
                opens: clock::shown(from),
                closes: clock::shown(to),
            },
        );
    }
    span
}

/// Both ends of `9:00-17:00`, `9 to 17` or `9 – 17`.
fn two(text: &str) -> Option<(&str, &str)> {
    let (from, to) = text
        .split_once(" to ")
        .or_else(|| text.split_once(['-', '–']))?;
    Some((from.trim(), to.trim()))
}

/// The holidays: days, and spans from the first to the last of them.
fn holidays(fields: &Fields<'_>) -> Vec<(Date, Date)> {
    let mut found = Vec::new();
    for (text, way) in fields.texts("holidays") {
        let unfit = |why: &str| {
            fields.file.fault(
                &way.path(),
                HolidayDoesNotFit {
                    text: shown(&text),
                    why: why.to_owned(),
                },
            );
        };
        let ends = text
            .split_once(" to ")
            .or_else(|| text.split_once('/'))
            .or_else(|| text.split_once('–'))
            .or_else(|| text.split_once(" - "));
        let (first, last) = ends.unwrap_or((&text, &text));
        match (whole_day(first), whole_day(last)) {
            (Some(first), Some(last)) if first <= last => found.push((first, last)),
            (Some(_), Some(_)) => unfit("ends before it begins"),
            _ => unfit("is no day, and no span of days"),
        }
    }
    found
}

fn whole_day(text: &str) -> Option<Date> {
    let day = PartialDate::read(text)?;
    (day.first == day.last).then_some(day.first)
}
