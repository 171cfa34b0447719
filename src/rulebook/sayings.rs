//! How steps and practice are told: `ladder.yaml` and `practice.yaml`, each a part, its keys in order, and what is said of each.

use crate::fields::{Fields, File};
use crate::ladder::{
    Assumption, Barrier, Earns, Facing, Favoured, Hands, LineFrom, Move, Movement, ObjectWorn,
    Sign, Skill, Speech, Variable, View,
};
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::{MissingField, WrongKind};
use crate::tree::{Node, Path};

use super::check;
use super::tables::Tables;

/// The files, in the order they are read.
pub(super) const FILES: &[&str] = &["ladder.yaml", "practice.yaml"];

/// What is said of one thing.
#[derive(Debug, Clone, Default)]
pub struct Saying {
    /// What is done or seen.
    pub tell: String,
    /// How it is set up.
    pub set_up: String,
    /// In two to four words.
    pub short: String,
    /// What people do, on the day of the visit.
    pub people: String,
    /// What the bird does then.
    pub bird: String,
    /// What comes of it.
    pub output: String,
    /// How long it takes, minutes.
    pub minutes: f64,
    /// True for a session.
    pub session: bool,
    /// Keys of its sources.
    pub source: Vec<String>,
}

/// All of them: part, then key, in the order of the files.
#[derive(Debug, Clone, Default)]
pub struct Sayings {
    parts: Vec<(String, Vec<(String, Saying)>)>,
}

/// Keys the program asks for, by part.
fn needed() -> Vec<(&'static str, Vec<&'static str>)> {
    macro_rules! keys {
        ($($type:ident),*) => { vec![$($type::ALL.iter().map(|it| it.key()).collect()),*] };
    }
    let mut parts: Vec<Vec<&'static str>> = keys!(
        Variable, Barrier, View, Movement, Facing, Hands, Speech, ObjectWorn, Favoured, Earns,
        Sign, Skill, Assumption
    );
    let names = [
        "titles",
        "barrier",
        "view",
        "movement",
        "facing",
        "hands",
        "speech",
        "object",
        "favoured",
        "earns",
        "signs",
        "prerequisites",
        "assumptions",
    ];
    let mut needed: Vec<_> = names.into_iter().zip(parts.drain(..)).collect();
    needed.extend([
        (
            "distance",
            vec![
                "out-of-view",
                "from-the-bars",
                "from-the-station",
                "from-the-bird",
            ],
        ),
        ("second-person", vec!["one-person", "two-people"]),
        (
            "pass",
            vec![Move::GoOn.key(), Move::ProbeLater.key(), Move::Pass.key()],
        ),
        ("hold", vec![Move::Hold.key(), Move::EndEasy.key()]),
        (
            "drop",
            vec![
                Move::BackOne.key(),
                Move::Split.key(),
                Move::BackTwoAndEnd.key(),
                Move::Stop.key(),
            ],
        ),
        (
            "cannot-start",
            vec![
                "unusable",
                "skills-missing",
                "no-place-outside-safe-line",
                "too-few-steps",
            ],
        ),
        (
            "session",
            vec![
                "pieces-told",
                "pieces-not-told",
                "few-pieces",
                "day-budget",
                "time-told",
                "time-not-told",
                "spaced",
            ],
        ),
        ("work-cannot", vec!["no-room", "no-days"]),
        (
            "not-for",
            vec![
                "child",
                "not-without-bars",
                "reach-not-known",
                "calm-out-not-measured",
            ],
        ),
        ("line", LineFrom::ALL.iter().map(|it| it.key()).collect()),
        ("later-list", vec!["other-condition"]),
        ("visit-bends", vec!["amber", "red"]),
        ("assumed-chance", vec!["equal"]),
        ("not-now", vec!["restart", "call", "new-list"]),
        (
            "since-last",
            vec![
                "entries",
                "touches",
                "frozen",
                "tighter",
                "looser",
                "same",
                "new-actions",
            ],
        ),
        (
            "measures",
            vec![
                "touches-a-week",
                "threats-a-week",
                "best-calm-step",
                "calm-distance",
                "rating",
            ],
        ),
        (
            "says",
            vec![
                "too-few",
                "no-signal",
                "stands-still",
                "better",
                "worse",
                "pairs",
            ],
        ),
        (
            "log-warnings",
            vec![
                "freer-than-allowed",
                "without-list",
                "earlier-stage",
                "other-sheet",
                "older-sheet",
                "no-step-between",
                "days-missing",
            ],
        ),
        ("calm-tries", vec!["newest"]),
        ("chart", vec!["about", "nothing"]),
        ("picture", vec!["about", "about-hidden"]),
        ("days-of-the-week", vec!["0", "1", "2", "3", "4", "5", "6"]),
        ("on-card", vec!["person"]),
        // What keeps people safe is not left to whoever writes the words.
        (
            "between-repetitions",
            vec![
                "out-of-view",
                "bird-decides",
                "talk-elsewhere",
                "tools-apart",
            ],
        ),
        (
            "before",
            vec!["well", "nothing-new", "people", "way-out", "treats", "meal"],
        ),
        ("green", vec!["eats", "loose", "place"]),
        (
            "amber",
            vec!["food-late", "freeze", "feathers", "eyes", "unsure"],
        ),
        ("red", vec!["lunge", "flies", "refuses", "touch", "person"]),
        ("own-signs", vec![]),
        ("visit-day", vec![]),
    ]);
    needed
}

impl Sayings {
    /// Reads the files; faults are added to `problems`.
    #[must_use]
    pub(super) fn load(library: &Library, tables: &Tables, problems: &mut Vec<Problem>) -> Self {
        let mut sayings = Self::default();
        for name in FILES {
            let Some(document) = library.document(name, problems) else {
                continue;
            };
            let file = File::new(&document);
            sayings.read(&file, tables);
            problems.extend(file.into_problems());
        }
        // Where a file could not be read, that is the fault to mend.
        if problems.is_empty() {
            for (part, keys) in needed() {
                let missing: Vec<&str> = keys
                    .into_iter()
                    .filter(|key| sayings.get(part, key).is_none())
                    .collect();
                let none = !sayings.parts.iter().any(|(name, _)| name == part);
                for key in missing.into_iter().chain(none.then_some("")) {
                    problems.push(Problem::of_file(
                        &format!("{}/{}", library.label, FILES.join(", ")),
                        MissingField {
                            key: format!("{part}.{key}").trim_end_matches('.').to_owned(),
                        },
                    ));
                }
            }
        }
        sayings
    }

    fn read(&mut self, file: &File<'_>, tables: &Tables) {
        let Node::Map(parts) = file.root else {
            file.fault(
                &Path::default(),
                WrongKind {
                    key: "this file".to_owned(),
                    wanted: "names with values".to_owned(),
                    found: file.root.kind().to_owned(),
                },
            );
            return;
        };
        for (part, node) in parts {
            let path = Path::default().key(part);
            let Node::Map(entries) = node else {
                file.fault(
                    &path,
                    WrongKind {
                        key: part.to_string(),
                        wanted: "names with values".to_owned(),
                        found: node.kind().to_owned(),
                    },
                );
                continue;
            };
            let said = entries
                .iter()
                .map(|(key, node)| {
                    let saying = match node.scalar() {
                        Some(text) => Saying {
                            tell: text.trim().to_owned(),
                            ..Saying::default()
                        },
                        None => saying(file, node, path.key(key), tables),
                    };
                    (key.to_string(), saying)
                })
                .collect();
            self.parts.push((part.to_string(), said));
        }
    }

    /// Shows every text with its part, its key and its field.
    pub(crate) fn texts(&mut self, visit: &mut dyn FnMut(&str, &str, &str, &mut String)) {
        for (part, said) in &mut self.parts {
            for (key, saying) in said {
                let fields = [
                    ("tell", &mut saying.tell),
                    ("set-up", &mut saying.set_up),
                    ("short", &mut saying.short),
                    ("people", &mut saying.people),
                    ("bird", &mut saying.bird),
                    ("output", &mut saying.output),
                ];
                for (field, text) in fields {
                    if !text.is_empty() {
                        visit(part, key, field, text);
                    }
                }
            }
        }
    }

    /// What is said of one key of a part.
    #[must_use]
    pub fn get(&self, part: &str, key: &str) -> Option<&Saying> {
        self.part(part)
            .iter()
            .find(|(name, _)| name == key)
            .map(|(_, saying)| saying)
    }

    /// A part's keys and sayings, in order.
    #[must_use]
    pub fn part(&self, part: &str) -> &[(String, Saying)] {
        self.parts
            .iter()
            .find(|(name, _)| name == part)
            .map_or(&[], |(_, said)| said)
    }

    /// What is told of one key; empty where a rulebook that was not looked at in full lacks it.
    #[must_use]
    pub fn tell(&self, part: &str, key: &str) -> &str {
        self.get(part, key)
            .map_or("", |saying| saying.tell.as_str())
    }

    /// What is told of one thing, with its numbers put in.
    #[must_use]
    pub fn say(&self, part: &str, key: &str, numbers: &[(&str, String)]) -> String {
        filled(self.tell(part, key), numbers)
    }

    /// What is told of each key of a part.
    #[must_use]
    pub fn tells(&self, part: &str) -> Vec<String> {
        self.part(part)
            .iter()
            .map(|(_, saying)| saying.tell.clone())
            .collect()
    }
}

/// A text with numbers put in: `{{ name }}`.
#[must_use]
pub fn filled(text: &str, numbers: &[(&str, String)]) -> String {
    numbers.iter().fold(text.to_owned(), |text, (name, value)| {
        text.replace(&format!("{{{{ {name} }}}}"), value)
    })
}

fn saying(file: &File<'_>, node: &Node<'_>, path: Path, tables: &Tables) -> Saying {
    let known = [
        "tell", "set-up", "short", "people", "bird", "output", "minutes", "session", "source",
    ];
    let fields = Fields::new(file, node, path, &known);
    let source = check::sources(&fields, tables);
    check::refused_words(
        &fields,
        &["tell", "set-up", "short", "people", "bird", "output"],
        tables,
    );
    let text = |key: &str| fields.text(key).unwrap_or_default();
    Saying {
        tell: text("tell"),
        set_up: text("set-up"),
        short: text("short"),
        people: text("people"),
        bird: text("bird"),
        output: text("output"),
        minutes: fields.number("minutes").unwrap_or(0.0),
        session: fields.yes("session"),
        source,
    }
}

#[cfg(test)]
mod tests {
    use super::filled;

    #[test]
    fn numbers_are_put_in_by_name() {
        let text = "{{ tries }} tries of {{ minutes }} and {{ tries }}";
        let numbers = [("tries", "6".to_owned()), ("minutes", "8".to_owned())];
        assert_eq!(filled(text, &numbers), "6 tries of 8 and 6");
        assert_eq!(filled("{{ other }}", &numbers), "{{ other }}");
    }
}
