//! How enquiries are ranked: `triage.yaml`.

use crate::facts::Vocabulary;
use crate::fields::{Fields, File};
use crate::hours::Within;
use crate::language::{Condition, FactRef, parse};
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::{MissingField, WrongKind};
use crate::questionnaire::Questionnaire;
use crate::tree::{Node, Path};

use super::check;
use super::outcome::Contact;
use super::tables::Tables;

/// How enquiries are ranked, and what is asked first.
#[derive(Debug, Clone, Default)]
pub struct Triage {
    /// How long a reply may take, the most urgent level first.
    pub within: Vec<Within>,
    /// What comes first within a level, the weightiest first.
    pub first: Vec<First>,
    /// The date that presses.
    pub deadline_date: Option<FactRef>,
    /// Whether there is one.
    pub deadline_when: Option<Condition>,
    /// What to ask first, of questions that could change as much.
    pub asks: Vec<AskFirst>,
    /// Papers of a case that are no enquiries.
    pub not_an_enquiry: Vec<OtherPaper>,
    /// What is said where no rule asks for a sooner reply.
    pub says_routine: String,
    /// What is said of a message with no day.
    pub says_no_day: String,
}

/// A paper of a case that is no enquiry.
#[derive(Debug, Clone)]
pub struct OtherPaper {
    /// What it is.
    pub what: String,
    /// The parts it is known by.
    pub parts: Vec<String>,
}

/// What comes first within a level.
#[derive(Debug, Clone)]
pub struct First {
    /// Its id.
    pub id: String,
    /// What it is, in words.
    pub title: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// When it holds.
    pub when: Condition,
}

/// A question, or a repeated group of which nothing was told.
#[derive(Debug, Clone)]
pub struct AskFirst {
    /// The group.
    pub group: usize,
    /// The question; none for the group as a whole.
    pub question: Option<usize>,
    /// What to ask, where the question's own words do not do.
    pub ask: Option<String>,
}

impl Triage {
    /// What a file is that has the parts of some other paper of a case; `keys` are the parts at its top.
    #[must_use]
    pub fn other_paper(&self, questionnaire: &Questionnaire, keys: &[&str]) -> Option<&str> {
        // The usual enquiry is known by its first part.
        let enquiry = keys.iter().any(|key| questionnaire.group(key).is_some());
        self.not_an_enquiry
            .iter()
            .filter(|other| !enquiry || other.parts.len() > 1)
            .find(|other| other.parts.iter().all(|part| keys.contains(&part.as_str())))
            .map(|other| other.what.as_str())
    }

    /// How long a reply of a level may take, as a place in [`Triage::within`].
    #[must_use]
    pub fn level(contact: Contact) -> usize {
        Contact::ALL.len() - 1 - contact.steps()
    }

    /// The place of a question among those to ask first; past the end for one that is not listed.
    #[must_use]
    pub fn rank(&self, group: usize, question: Option<usize>) -> usize {
        self.asks
            .iter()
            .position(|ask| (ask.group, ask.question) == (group, question))
            .unwrap_or(self.asks.len())
    }
}

/// Reads `triage.yaml`; faults are added to `problems`.
pub(super) fn load(
    library: &Library,
    questionnaire: &Questionnaire,
    vocabulary: &Vocabulary,
    tables: &Tables,
    problems: &mut Vec<Problem>,
) -> Triage {
    let Some(document) = library.document("triage.yaml", problems) else {
        return Triage::default();
    };
    let file = File::new(&document);
    let fields = file.fields(&[
        "reply-within",
        "first",
        "deadline",
        "ask-first",
        "not-an-enquiry",
        "says",
    ]);
    let reader = Reader {
        file: &file,
        questionnaire,
        vocabulary,
        tables,
    };
    let says = fields
        .need("says")
        .map(|node| Fields::new(&file, node, fields.at("says"), &["routine", "no-day"]));
    let said = |key: &str| {
        says.as_ref()
            .map(|says| says.needed_text(key))
            .unwrap_or_default()
    };
    let deadline = fields
        .get("deadline")
        .map(|node| Fields::new(&file, node, fields.at("deadline"), &["date", "when"]));
    let triage = Triage {
        within: reader.within(&fields),
        first: reader.list(&fields, "first", |node, path| reader.first(node, path)),
        deadline_date: deadline.as_ref().and_then(|deadline| reader.date(deadline)),
        deadline_when: deadline
            .as_ref()
            .and_then(|deadline| reader.condition(deadline)),
        asks: reader.list(&fields, "ask-first", |node, path| reader.ask(node, path)),
        not_an_enquiry: reader.list(&fields, "not-an-enquiry", |node, path| {
            let fields = Fields::new(&file, node, path, &["what", "parts"]);
            let _ = fields.need("parts");
            Some(OtherPaper {
                what: fields.needed_text("what"),
                parts: fields
                    .texts("parts")
                    .into_iter()
                    .map(|(part, _)| part)
                    .collect(),
            })
        }),
        says_routine: said("routine"),
        says_no_day: said("no-day"),
    };
    problems.extend(file.into_problems());
    triage
}

struct Reader<'a> {
    file: &'a File<'a>,
    questionnaire: &'a Questionnaire,
    vocabulary: &'a Vocabulary,
    tables: &'a Tables,
}

impl Reader<'_> {
    fn wrong(&self, path: &Path, key: &str, wanted: &str, found: &str) {
        let mistake = WrongKind {
            key: key.to_owned(),
            wanted: wanted.to_owned(),
            found: found.to_owned(),
        };
        self.file.fault(path, mistake);
    }

    fn within(&self, fields: &Fields<'_>) -> Vec<Within> {
        let Some(node) = fields.need("reply-within") else {
            return Vec::new();
        };
        let levels: Vec<&str> = Contact::WORDS.iter().rev().copied().collect();
        let inner = Fields::new(self.file, node, fields.at("reply-within"), &levels);
        levels
            .iter()
            .filter_map(|level| {
                let text = inner.needed_text(level);
                let within = Within::read(&text);
                if within.is_none() && !text.is_empty() {
                    let wanted = "`now`, `4 working hours` or `3 working days`";
                    self.wrong(&inner.at(level), level, wanted, &format!("`{text}`"));
                }
                within
            })
            .collect()
    }

    fn list<T>(
        &self,
        fields: &Fields<'_>,
        key: &str,
        read: impl Fn(&Node<'_>, Path) -> Option<T>,
    ) -> Vec<T> {
        match fields.need(key) {
            Some(Node::List(items)) => items
                .iter()
                .enumerate()
                .filter_map(|(at, node)| read(node, fields.at(key).index(at)))
                .collect(),
            Some(other) => {
                self.wrong(&fields.at(key), key, "a list", other.kind());
                Vec::new()
            }
            None => Vec::new(),
        }
    }

    fn first(&self, node: &Node<'_>, path: Path) -> Option<First> {
        let fields = Fields::new(self.file, node, path, &["id", "title", "source", "when"]);
        let source = check::sources(&fields, self.tables);
        Some(First {
            id: fields.needed_text("id"),
            title: fields.needed_text("title"),
            source,
            when: self.condition(&fields)?,
        })
    }

    fn condition(&self, fields: &Fields<'_>) -> Option<Condition> {
        let node = fields.need("when")?;
        parse::condition(self.file, self.vocabulary, node, &fields.at("when"), &[])
    }

    fn date(&self, fields: &Fields<'_>) -> Option<FactRef> {
        let name = fields.needed_text("date");
        let found = self
            .vocabulary
            .find(&name)
            .filter(|at| self.vocabulary.fact(*at).kind == crate::questionnaire::Kind::Date);
        if found.is_none() && !name.is_empty() {
            let wanted = "a question that takes a date, as `group.question`";
            self.wrong(&fields.at("date"), "date", wanted, &format!("`{name}`"));
        }
        found
    }

    fn ask(&self, node: &Node<'_>, path: Path) -> Option<AskFirst> {
        let fields = Fields::new(self.file, node, path, &["of", "ask"]);
        let of = fields.needed_text("of");
        let ask = fields.text("ask");
        let whole = self
            .questionnaire
            .group(&of)
            .filter(|group| self.questionnaire.groups[*group].repeats.is_some());
        let found = match (whole, self.questionnaire.find(&of)) {
            (Some(group), _) => Some((group, None)),
            (None, Some((group, question))) => Some((group, Some(question))),
            (None, None) => None,
        };
        let Some((group, question)) = found else {
            let wanted = "`group.question`, or a group that repeats";
            self.wrong(&fields.at("of"), "of", wanted, &format!("`{of}`"));
            return None;
        };
        if question.is_none() && ask.is_none() {
            let key = "ask".to_owned();
            self.file.fault(&fields.at("of"), MissingField { key });
        }
        Some(AskFirst {
            group,
            question,
            ask,
        })
    }
}
