//! Who works in a practice and what each may do with a plan, and which plans need a second reader there: `team` and `second-reader`
//! in `practice.yaml`.

use serde::Serialize;

use crate::fields::{Fields, alone};
use crate::library::Library;
use crate::mistakes::record::{SecondReaderUnknown, TeamMemberTwice};
use crate::names::same_name;
use crate::rulebook::second_reader_ids;
use crate::words::closest;

/// The keys this part of the file has.
pub const KEYS: &[&str] = &["team", "second-reader"];
/// The keys of one person.
pub const MEMBER_KEYS: &[&str] = &["name", "may"];

/// What a person may do with a plan, least first (the levels of training of the trade: observe, draft, co-sign, solo).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum May {
    /// Look on.
    Observes,
    /// Sign what someone who signs reads as well.
    Drafts,
    /// That, and be second reader to someone who signs.
    CoSigns,
    /// Sign alone.
    Signs,
}

impl May {
    /// All of them, in order.
    pub const ALL: &[Self] = &[Self::Observes, Self::Drafts, Self::CoSigns, Self::Signs];
    /// Their words, in order.
    pub const WORDS: &[&str] = &["observes", "drafts", "co-signs", "signs"];

    /// The word written in `practice.yaml`.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::WORDS[self as usize]
    }
}

/// One person of a practice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Member {
    /// The name.
    pub name: String,
    /// What that person may do.
    pub may: May,
}

/// Who may sign, and what needs two.
#[derive(Debug, Clone, Default)]
pub struct Team {
    /// Its people; empty where the practice named none, and then anyone may sign.
    pub members: Vec<Member>,
    /// Ids of `second-reader.yaml`: what needs a second reader here.
    pub second_reader: Vec<String>,
}

impl Team {
    /// A person by name, however it is written.
    #[must_use]
    pub fn member(&self, name: &str) -> Option<&Member> {
        self.members
            .iter()
            .find(|member| same_name(&member.name, name))
    }
}

/// Reads both; faults go to the file of the fields.
pub(super) fn read(fields: &Fields<'_>, library: &Library) -> Team {
    let file = fields.file;
    let mut members: Vec<Member> = Vec::new();
    for (node, path) in fields.items("team") {
        let inner = Fields::new(file, node, path, MEMBER_KEYS);
        let name = inner.needed_text("name");
        let may = inner.needed_word("may", May::WORDS);
        if members.iter().any(|other| same_name(&other.name, &name)) {
            file.fault(&inner.at("name"), TeamMemberTwice { name });
            continue;
        }
        if let Some(may) = may.and_then(|at| May::ALL.get(at)).copied()
            && !name.is_empty()
        {
            members.push(Member { name, may });
        }
    }
    let ids = second_reader_ids(library);
    let named = fields.texts("second-reader");
    for (id, way) in named.iter().filter(|(id, _)| !ids.contains(id)) {
        let mistake = SecondReaderUnknown {
            id: id.clone(),
            close: closest(id, ids.iter().map(String::as_str)),
            ids: ids.clone(),
        };
        file.fault(&way.path(), mistake);
    }
    Team {
        members,
        second_reader: alone(named),
    }
}
