//! Which word stands on the door sign: entries of `sign.yaml`, each with the word it asks for and when.

use crate::facts::Vocabulary;
use crate::fields::{Fields, File};
use crate::language::{Condition, parse};
use crate::library::Library;
use crate::mistake::Problem;
use crate::mistakes::data::{MissingField, WrongKind};
use crate::tree::{Node, Path};

use super::check;
use super::outcome::Risk;
use super::scale::scale;
use super::tables::Tables;

scale! {
    /// Signal words in their published order (ANSI Z535, as quoted). DANGER is kept for imminent death and is not used.
    Signal {
        /// A rule of the house; nobody is expected to be hurt.
        Notice = "notice",
        /// A minor injury is credible.
        Caution = "caution",
        /// A serious injury is credible.
        Warning = "warning",
    }
}

/// A reason for a signal word.
#[derive(Debug, Clone)]
pub struct SignEntry {
    /// The word it asks for, or a stronger one.
    pub signal: Signal,
    /// Why, for the consultant.
    pub because: String,
    /// Keys of its sources.
    pub source: Vec<String>,
    /// It speaks from this risk on.
    pub risk: Option<Risk>,
    /// It speaks when this holds, or is not known.
    pub when: Option<Condition>,
}

/// Reads `sign.yaml`; faults are added to `problems`.
pub(super) fn load(
    library: &Library,
    vocabulary: &Vocabulary,
    tables: &Tables,
    problems: &mut Vec<Problem>,
) -> Vec<SignEntry> {
    let Some(document) = library.document("sign.yaml", problems) else {
        return Vec::new();
    };
    let file = File::new(&document);
    let mut entries = Vec::new();
    if let Node::List(items) = file.root {
        for (at, node) in items.iter().enumerate() {
            let path = Path::default().index(at);
            entries.extend(entry(&file, node, path, vocabulary, tables));
        }
    } else {
        file.fault(
            &Path::default(),
            WrongKind {
                key: "this file".to_owned(),
                wanted: "a list".to_owned(),
                found: file.root.kind().to_owned(),
            },
        );
    }
    problems.extend(file.into_problems());
    entries
}

fn entry(
    file: &File<'_>,
    node: &Node<'_>,
    path: Path,
    vocabulary: &Vocabulary,
    tables: &Tables,
) -> Option<SignEntry> {
    let fields = Fields::new(
        file,
        node,
        path.clone(),
        &["signal", "because", "risk", "when", "source"],
    );
    let source = check::sources(&fields, tables);
    let risk = fields.word("risk", Risk::WORDS).map(|at| Risk::ALL[at]);
    let when = fields
        .get("when")
        .and_then(|node| parse::condition(file, vocabulary, node, &fields.at("when"), &[]));
    if fields.get("risk").is_none() && fields.get("when").is_none() {
        let key = "when".to_owned();
        file.fault(&path, MissingField { key });
    }
    Some(SignEntry {
        signal: Signal::ALL[fields.needed_word("signal", Signal::WORDS)?],
        because: fields.needed_text("because"),
        source,
        risk,
        when,
    })
}
