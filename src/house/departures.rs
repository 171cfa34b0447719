//! The departures of a practice, out of the files in its folder `departures/`, held against the rulebook they depart from.

use jiff::civil::Date;

use crate::case_file::in_time;
use crate::fields::{Fields, File};
use crate::file_kind::FileKind;
use crate::library::{Library, document};
use crate::mistake::{Place, Problem};
use crate::mistakes::data::{FileInWrongFolder, IdNotFileName, IdNotKebab};
use crate::mistakes::departure::{
    DepartureAhead, DepartureExpired, DepartureFromFloor, DepartureFromOwnRule,
    DepartureLeavesOutNothing, DepartureNotLooser, DepartureRuleUnknown, DepartureSaysTwoThings,
    DepartureTwice, DepartureWithoutChange,
};
use crate::rulebook::departure::{Departure, Instead, Loosening, State};
use crate::rulebook::{Contact, Layer, Risk, Rule, Rulebook, Start, Vet, day, keys};
use crate::tree::Path;
use crate::words::{closest, is_kebab};

/// The keys of a departure.
pub const DEPARTURE: &[&str] = &[
    "id",
    "rule",
    "switch-off",
    "instead",
    "leave-out",
    "reason",
    "by",
    "second",
    "date",
    "until",
];

/// The word for an outcome that a rule no longer speaks of.
pub const NOTHING: &str = "nothing";

/// Reads all departures of a practice and holds them against the rulebook, on a day.
pub(super) fn read(
    folder: &Library,
    rulebook: &Rulebook,
    today: Date,
    problems: &mut Vec<Problem>,
) -> Vec<Departure> {
    let mut found: Vec<(Departure, Place)> = Vec::new();
    for (path, source) in &folder.files {
        let Some(stem) = path.strip_suffix(".yaml") else {
            continue;
        };
        let stem = stem.rsplit('/').next().unwrap_or(stem);
        let document = match document(source) {
            Ok(document) => document,
            Err(faults) => {
                problems.extend(faults);
                continue;
            }
        };
        let file = File::new(&document);
        let kind = FileKind::told_by(&document.root);
        if let Some(kind) = kind.filter(|kind| *kind != FileKind::Departure) {
            let (is, belongs) = (kind.words().to_owned(), kind.belongs().to_owned());
            file.fault(&Path::default(), FileInWrongFolder { is, belongs });
            problems.extend(file.into_problems());
            continue;
        }
        let departure = departure(&file, rulebook, stem, today);
        let place = file.place(&Path::default().key("rule"));
        problems.extend(file.into_problems());
        found.extend(departure.map(|departure| (departure, place)));
    }
    at_the_same_time(&found, problems);
    for (departure, place) in &found {
        say_when(departure, place, problems);
    }
    found.into_iter().map(|(departure, _)| departure).collect()
}

fn departure(file: &File<'_>, rulebook: &Rulebook, stem: &str, today: Date) -> Option<Departure> {
    let fields = file.fields(DEPARTURE);
    let id = fields.needed_text("id");
    if !id.is_empty() && !is_kebab(&id) {
        file.fault(&fields.at("id"), IdNotKebab { id });
    } else if !id.is_empty() && id != stem {
        let stem = stem.to_owned();
        file.fault(&fields.at("id"), IdNotFileName { id, stem });
    }
    let reason = fields.needed_text("reason");
    let by = fields.needed_text("by");
    let (date, until) = (day(&fields, "date"), day(&fields, "until"));
    let rule = departed_rule(&fields, rulebook);
    let what = rule.map(|rule| loosening(&fields, rule));
    let (date, until) = (date?, until?);
    in_time(&fields, date, until);
    let mut departure = Departure {
        id: stem.to_owned(),
        rule: rule?.id.clone(),
        what: what?,
        reason,
        by,
        second: fields.text("second"),
        date,
        until,
        state: State::Ahead,
    };
    departure.state = departure.state_on(today);
    Some(departure)
}

/// The rule a departure is from, where it may be departed from.
fn departed_rule<'r>(fields: &Fields<'_>, rulebook: &'r Rulebook) -> Option<&'r Rule> {
    let id = fields.needed_text("rule");
    if id.is_empty() {
        return None;
    }
    let fault = |mistake| fields.file.fault(&fields.at("rule"), mistake);
    let Some(rule) = rulebook.rule(&id) else {
        if rulebook.gate(&id).is_some() {
            fault(DepartureFromFloor {
                rule: id,
                what: "the gate".to_owned(),
            });
        } else {
            let ids = rulebook.rules.iter().map(|rule| rule.id.as_str());
            let close = closest(&id, ids);
            fields
                .file
                .fault(&fields.at("rule"), DepartureRuleUnknown { rule: id, close });
        }
        return None;
    };
    if rule.floor {
        fault(DepartureFromFloor {
            rule: id,
            what: "the rule".to_owned(),
        });
        return None;
    }
    if rule.layer != Layer::Base {
        fields
            .file
            .fault(&fields.at("rule"), DepartureFromOwnRule { rule: id });
        return None;
    }
    Some(rule)
}

fn loosening(fields: &Fields<'_>, rule: &Rule) -> Loosening {
    let file = fields.file;
    let mut loosening = Loosening {
        switch_off: fields.yes("switch-off"),
        ..Loosening::default()
    };
    let then = &rule.then;
    if let Some(node) = fields.get("instead") {
        let words = Fields::new(
            file,
            node,
            fields.at("instead"),
            &keys::THEN[..keys::ORDERED],
        );
        loosening.risk = looser(&words, "risk", (Risk::ALL, Risk::WORDS), rule, then.risk);
        loosening.start = looser(
            &words,
            "start",
            (Start::ALL, Start::WORDS),
            rule,
            then.start,
        );
        loosening.contact = looser(
            &words,
            "contact",
            (Contact::ALL, Contact::WORDS),
            rule,
            then.contact,
        );
        loosening.vet = looser(&words, "vet", (Vet::ALL, Vet::WORDS), rule, then.vet);
    }
    for (id, way) in fields.texts("leave-out") {
        let asked = [&then.do_, &then.never, &then.refer, &then.ask];
        let asked = || asked.into_iter().flatten().map(String::as_str);
        if asked().any(|asked| asked == id) {
            loosening.leave_out.push(id);
        } else {
            let mistake = DepartureLeavesOutNothing {
                rule: rule.id.clone(),
                close: closest(&id, asked()),
                id,
            };
            file.fault(&way.path(), mistake);
        }
    }
    let changes = ["instead", "leave-out"]
        .iter()
        .any(|key| fields.get(key).is_some());
    match (loosening.switch_off, changes) {
        (true, true) => {
            file.fault_at_key(&fields.at("switch-off"), DepartureSaysTwoThings {});
        }
        (false, false) => file.fault(&fields.path, DepartureWithoutChange {}),
        _ => {}
    }
    loosening
}

/// A word of `instead`, which has to be looser than what the rule says.
fn looser<T: Copy + Ord + std::fmt::Display>(
    fields: &Fields<'_>,
    key: &str,
    (all, words): (&[T], &[&str]),
    rule: &Rule,
    said: Option<T>,
) -> Option<Instead<T>> {
    let words: Vec<&str> = words.iter().copied().chain([NOTHING]).collect();
    let at = fields.word(key, &words)?;
    let word = all.get(at).copied();
    let loosens = said.is_some_and(|said| word.is_none_or(|word| word < said));
    if !loosens {
        let mistake = DepartureNotLooser {
            rule: rule.id.clone(),
            key: key.to_owned(),
            says: said.map_or_else(|| NOTHING.to_owned(), |said| format!("`{said}`")),
        };
        fields.file.fault(&fields.at(key), mistake);
        return None;
    }
    Some(word.map_or(Instead::Nothing, Instead::Word))
}

/// No two departures from one rule at the same time: which of them counts would be anyone's guess.
fn at_the_same_time(found: &[(Departure, Place)], problems: &mut Vec<Problem>) {
    for (at, (departure, place)) in found.iter().enumerate() {
        let other = found[..at].iter().find(|(other, _)| {
            other.rule == departure.rule
                && other.date <= departure.until
                && departure.date <= other.until
        });
        if let Some((other, _)) = other {
            let mistake = DepartureTwice {
                rule: departure.rule.clone(),
                other: other.id.clone(),
            };
            problems.push(Problem::at(place.clone(), mistake));
        }
    }
}

/// What does not count today is said.
fn say_when(departure: &Departure, place: &Place, problems: &mut Vec<Problem>) {
    let (id, rule) = (departure.id.clone(), departure.rule.clone());
    match departure.state {
        State::InForce => {}
        State::Expired => {
            let until = departure.until.to_string();
            let mistake = DepartureExpired { id, rule, until };
            problems.push(Problem::at(place.clone(), mistake));
        }
        State::Ahead => {
            let date = departure.date.to_string();
            let mistake = DepartureAhead { id, rule, date };
            problems.push(Problem::at(place.clone(), mistake));
        }
    }
}
