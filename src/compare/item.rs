//! One thing that differs between two sets of rules.

use serde::Serialize;

use super::way::Way;

/// What became of something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum What {
    /// It is in the new set alone.
    Added,
    /// It is in the old set alone.
    Removed,
    /// It is in both, and differs.
    Changed,
}

/// One part of a thing, as it was and as it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Detail {
    /// Which part: the key it has in its file.
    pub part: String,
    /// As it was; none where there was none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub before: Option<String>,
    /// As it is; none where there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after: Option<String>,
    /// Which way it went.
    pub way: Way,
}

/// One thing that differs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Item {
    /// What kind of thing it is: `rule`, `gate`, `measure` and so on.
    pub kind: &'static str,
    /// Its id.
    pub id: String,
    /// Its title; empty for what has none.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub title: String,
    /// What became of it.
    pub what: What,
    /// Which way it went as a whole.
    pub way: Way,
    /// True when it belongs to a practice's own layer, before or after.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub practice: bool,
    /// What differs in it.
    pub details: Vec<Detail>,
}

impl Item {
    /// A thing with what differs in it; nothing when nothing does.
    #[must_use]
    pub(super) fn of(
        kind: &'static str,
        (id, title): (&str, &str),
        what: What,
        details: Vec<Detail>,
    ) -> Option<Self> {
        let way = Way::of(details.iter().map(|detail| detail.way));
        (what != What::Changed || !details.is_empty()).then(|| Self {
            kind,
            id: id.to_owned(),
            title: title.to_owned(),
            what,
            way,
            practice: false,
            details,
        })
    }

    /// The same, of a practice's own layer or not.
    #[must_use]
    pub(super) fn of_practice(self, practice: bool) -> Self {
        Self { practice, ..self }
    }
}

/// Gathers the parts of one thing that differ.
#[derive(Debug, Default)]
pub(super) struct Details(pub(super) Vec<Detail>);

impl Details {
    /// A part that went one way; left out where both are the same.
    pub(super) fn part(
        &mut self,
        part: &str,
        before: Option<String>,
        after: Option<String>,
        way: Way,
    ) {
        if before != after {
            self.0.push(Detail {
                part: part.to_owned(),
                before,
                after,
                way,
            });
        }
    }

    /// Words, which go neither way. An empty text is none.
    pub(super) fn words(&mut self, part: &str, before: &str, after: &str) {
        let some = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        self.part(part, some(before), some(after), Way::Neither);
    }

    /// A word of an ordered scale; none is looser than any.
    pub(super) fn ordered<T: Ord + std::fmt::Display>(
        &mut self,
        part: &str,
        before: Option<T>,
        after: Option<T>,
    ) {
        let way = Way::between(&before, &after);
        let word = |it: Option<T>| it.map(|it| it.to_string());
        self.part(part, word(before), word(after), way);
    }

    /// A list of ids in which the order says nothing. `way` tells which way it goes to gain one, or to lose one, which is the same
    /// the other way round; it is asked with the id and whether it was gained.
    pub(super) fn ids(
        &mut self,
        part: &str,
        before: &[String],
        after: &[String],
        way: &dyn Fn(&str, bool) -> Way,
    ) {
        for id in before.iter().filter(|id| !after.contains(id)) {
            self.part(part, Some(id.clone()), None, way(id, false).turned());
        }
        for id in after.iter().filter(|id| !before.contains(id)) {
            self.part(part, None, Some(id.clone()), way(id, true));
        }
    }

    /// A mark that a thing has or has not.
    pub(super) fn mark(&mut self, part: &str, before: bool, after: bool, gained: Way) {
        let word = |it: bool| it.then(|| "yes".to_owned());
        let way = if after { gained } else { gained.turned() };
        self.part(part, word(before), word(after), way);
    }
}

/// Two lists in the order of their ids, side by side.
pub(super) fn paired<'a, T>(
    old: impl IntoIterator<Item = &'a T>,
    new: impl IntoIterator<Item = &'a T>,
    id: impl Fn(&T) -> &str,
) -> Vec<(Option<&'a T>, Option<&'a T>)> {
    let mut all: std::collections::BTreeMap<String, (Option<&'a T>, Option<&'a T>)> =
        std::collections::BTreeMap::new();
    for it in old {
        all.entry(id(it).to_owned()).or_default().0 = Some(it);
    }
    for it in new {
        all.entry(id(it).to_owned()).or_default().1 = Some(it);
    }
    all.into_values().collect()
}
