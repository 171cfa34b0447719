//! Which kind of parrot a text means. Where it may mean several, that is said: nothing is chosen silently.

use std::collections::BTreeSet;

use crate::words::nearest;

use super::SpeciesTable;
use super::companion::Companion;
use super::flags::Group;
use super::names::{folded, is_named, joined};
use super::traits::Trait;

/// What was found for a text.
#[derive(Debug, Clone, PartialEq)]
pub enum Found<'a> {
    /// One kind kept as a companion.
    One(&'a Companion),
    /// A species outside the list of companions.
    Trait(&'a Trait),
    /// The text fits several kinds: ask which.
    Several(Vec<&'a Companion>),
    /// A cross between kinds, with the parents the text names. No figure of either holds for it.
    Hybrid(Vec<&'a Companion>),
    /// No kind is called so.
    Unknown {
        /// Names that may have been meant, the nearest first.
        close: Vec<&'a str>,
    },
}

/// How much of a text is looked at, in characters: far more than any name is long.
const MOST_CHARS: usize = 200;

/// The most words of one name.
const MOST_WORDS: usize = 6;

/// How many names are offered for one that is not known.
const MOST_CLOSE: usize = 3;

/// Words that say that a bird is a cross, folded.
const CROSSED: &[&str] = &[
    "cross",
    "crossbred",
    "crossbreed",
    "crossed",
    "hybrid",
    "mix",
    "x",
];

/// Words between the parents of a cross.
const BETWEEN: &[&str] = &["between", "with"];

/// What a part of a text stands for.
#[derive(Debug, Clone, PartialEq)]
enum Hit {
    /// Companions, by their places in the table.
    Kinds(BTreeSet<usize>),
    /// A species outside their list, by its place in the table of traits.
    Species(usize),
}

impl Hit {
    fn is_single(&self) -> bool {
        match self {
            Self::Kinds(kinds) => kinds.len() == 1,
            Self::Species(_) => true,
        }
    }
}

/// A known name within a text: its words from `start` to before `end`.
struct Stands {
    start: usize,
    end: usize,
    chars: usize,
    hit: Hit,
}

impl SpeciesTable {
    /// Finds the kind a text means, by key, common, home or scientific name. Case, hyphens, apostrophes, blanks and plurals
    /// do not matter.
    ///
    /// A name that is the whole text comes first, then a name that holds all its words, then the text before a comma or
    /// bracket with the text in brackets, and last the longest known name within the text. A word such as "macaw" or
    /// "parakeet" gives all its kinds, and so does a text that speaks of two.
    #[must_use]
    pub fn find(&self, text: &str) -> Found<'_> {
        let text: String = text.chars().take(MOST_CHARS).collect();
        let words = folded(&text);
        if words.iter().any(|word| CROSSED.contains(&word.as_str())) {
            return Found::Hybrid(self.kinds(self.parents(&words)));
        }
        if let Some(hit) = self.exact(&words) {
            return self.found(hit);
        }
        let whole = [self.holding(&words), self.split_name(&text, &words)];
        let whole: Vec<Hit> = whole.into_iter().flatten().collect();
        let within = self.within(&words);
        let single = whole.iter().chain(&within).find(|hit| hit.is_single());
        if let Some(hit) = single.or(whole.first()) {
            return self.found(hit.clone());
        }
        let close = self.close(&words);
        // A group word in a name with a slip, such as "hyacynth macaw", is no question about the whole group.
        let slip = close
            .first()
            .is_some_and(|(slips, _)| *slips <= 2 && joined(&words).len() >= 8);
        match within.filter(|_| !slip) {
            Some(hit) => self.found(hit),
            None => Found::Unknown {
                close: close.into_iter().map(|(_, name)| name).collect(),
            },
        }
    }

    fn kinds(&self, kinds: impl IntoIterator<Item = usize>) -> Vec<&Companion> {
        kinds
            .into_iter()
            .filter_map(|at| self.companions().get(at))
            .collect()
    }

    fn found(&self, hit: Hit) -> Found<'_> {
        match hit {
            Hit::Species(at) => self
                .traits()
                .get(at)
                .map_or(Found::Unknown { close: Vec::new() }, Found::Trait),
            Hit::Kinds(kinds) => match self.kinds(kinds).as_slice() {
                [one] => Found::One(one),
                several => Found::Several(several.to_vec()),
            },
        }
    }

    /// What some words name as a whole.
    fn exact(&self, words: &[String]) -> Option<Hit> {
        if words.is_empty() {
            return None;
        }
        let name = joined(words);
        let kinds = self.companion_names().exact(&name);
        if !kinds.is_empty() {
            return Some(Hit::Kinds(kinds));
        }
        let names = self.trait_names();
        names
            .companion(&name)
            .map(|at| Hit::Kinds(BTreeSet::from([at])))
            .or_else(|| names.species(&name).map(Hit::Species))
    }

    fn holding(&self, words: &[String]) -> Option<Hit> {
        let kinds = self.companion_names().holding(words);
        (!words.is_empty() && !kinds.is_empty()).then_some(Hit::Kinds(kinds))
    }

    /// What the text before a comma or bracket names, held against the text in brackets.
    fn split_name(&self, text: &str, words: &[String]) -> Option<Hit> {
        let head = folded(text.split([',', ';', '(', '[']).next().unwrap_or_default());
        let inside = text
            .split(['(', '['])
            .nth(1)
            .and_then(|rest| rest.split([')', ']']).next())
            .unwrap_or_default();
        let before = self.exact(&head).or_else(|| self.holding(&head));
        match (before, self.exact(&folded(inside))) {
            (Some(Hit::Kinds(mut before)), Some(Hit::Kinds(inside))) => {
                if !inside.is_subset(&before) {
                    before.extend(inside);
                    return Some(Hit::Kinds(before));
                }
                Some(Hit::Kinds(inside))
            }
            (Some(Hit::Kinds(before)), None) => {
                let rest: Vec<&String> = words.iter().skip(head.len()).collect();
                Some(Hit::Kinds(self.weighed(before, &rest)))
            }
            // A scientific name in brackets is the closer word: "Cape parrot (Poicephalus robustus)".
            (before, inside) => inside.or(before),
        }
    }

    /// The known names within a text that do not overlap, the longest first.
    fn standing(&self, words: &[String]) -> Vec<Stands> {
        let mut all = Vec::new();
        for start in 0..words.len() {
            for end in start + 1..=words.len().min(start + MOST_WORDS) {
                if let Some(hit) = self.exact(&words[start..end]) {
                    let chars = joined(&words[start..end]).chars().count();
                    all.push(Stands {
                        start,
                        end,
                        chars,
                        hit,
                    });
                }
            }
        }
        all.sort_by_key(|it| std::cmp::Reverse(it.chars));
        let mut kept: Vec<Stands> = Vec::new();
        for it in all {
            if kept
                .iter()
                .all(|other| it.end <= other.start || other.end <= it.start)
            {
                kept.push(it);
            }
        }
        kept
    }

    /// The longest known name within a text, and what the rest of the text says against it or more closely.
    fn within(&self, words: &[String]) -> Option<Hit> {
        let names = self.companion_names();
        let mut standing = self.standing(words).into_iter();
        let longest = standing.next()?;
        let Hit::Kinds(mut kinds) = longest.hit else {
            return Some(longest.hit);
        };
        // Another name or group word elsewhere means that two kinds are spoken of. One word alone may be a pet's name.
        for other in standing {
            let group = other.end - other.start > 1 || !names.group(&words[other.start]).is_empty();
            if let (true, Hit::Kinds(more)) = (group, other.hit)
                && more.is_disjoint(&kinds)
            {
                kinds.extend(more);
                return Some(Hit::Kinds(kinds));
            }
        }
        let rest: Vec<&String> = words[..longest.start]
            .iter()
            .chain(&words[longest.end..])
            .collect();
        Some(Hit::Kinds(self.weighed(kinds, &rest)))
    }

    /// The kinds a name stands for, after the other words of the text were heard. Among several kinds a word that only one
    /// of them goes by tells which, if no other word speaks against it: "gold-capped conure" is no black-capped one. Against one kind, a word that only a relative goes by makes it a question: "African grey,
    /// a timneh".
    fn weighed(&self, kinds: BTreeSet<usize>, rest: &[&String]) -> BTreeSet<usize> {
        let names = self.companion_names();
        let group = |at: &usize| self.companions().get(*at).map(Companion::group);
        let mut told = BTreeSet::new();
        for word in rest.iter().filter(|word| names.tells(word)) {
            let holders = names.holding(std::slice::from_ref(word));
            let mut meant = if kinds.len() > 1 {
                holders.intersection(&kinds).copied().collect()
            } else {
                holders
            };
            if let (Some(one), None) = (meant.pop_first(), meant.pop_first())
                && kinds.iter().any(|at| group(at) == group(&one))
                && (kinds.len() == 1 || !rest.iter().any(|word| names.speaks_against(word, one)))
            {
                told.insert(one);
            }
        }
        match (told.is_empty(), kinds.len()) {
            (true, _) => kinds,
            (false, 1) => kinds.union(&told).copied().collect(),
            (false, _) => told,
        }
    }

    /// The parents a text about a cross names, in its order.
    fn parents(&self, words: &[String]) -> Vec<usize> {
        let is_between =
            |word: &String| CROSSED.contains(&word.as_str()) || BETWEEN.contains(&word.as_str());
        let last = words.iter().rev().find(|word| !is_between(word));
        let mut parents: Vec<usize> = Vec::new();
        let mut add = |hit: &Hit| match hit {
            Hit::Kinds(kinds) if kinds.len() == 1 => {
                for at in kinds {
                    if !parents.contains(at) {
                        parents.push(*at);
                    }
                }
                true
            }
            Hit::Kinds(_) | Hit::Species(_) => false,
        };
        for part in words.split(is_between).filter(|part| !part.is_empty()) {
            // "Scarlet x military macaw": the last word belongs to both.
            let longer: Vec<String> = part.iter().chain(last).cloned().collect();
            let found = [part, longer.as_slice()]
                .into_iter()
                .flat_map(|words| [self.exact(words), self.holding(words)])
                .flatten()
                .any(|hit| add(&hit));
            if !found {
                let mut standing = self.standing(part);
                standing.sort_by_key(|it| it.start);
                for it in standing {
                    add(&it.hit);
                }
            }
        }
        parents
    }

    /// Names near to some words, the nearest first, with the number of slips: each kind once, none far behind the nearest.
    /// Where none is near, names of kinds that one of the words tells.
    fn close(&self, words: &[String]) -> Vec<(usize, &str)> {
        let names = self.companion_names();
        let known = || {
            let companions = names.names.iter();
            let companions = companions.map(|it| (it.folded.as_str(), it.shown.as_str()));
            let groups = Group::ALL.iter().filter(|it| **it != Group::Other);
            companions
                .chain(groups.map(|it| (it.word(), it.word())))
                .chain(self.trait_names().shown(self.traits()))
        };
        if !words.iter().any(|word| is_named(word)) {
            return Vec::new();
        }
        let typed = joined(words);
        let chars = typed.chars().count();
        let mut near = nearest(&typed, known().map(|(folded, _)| folded));
        near.retain(|(slips, _)| *slips <= (chars / 4).max(1));
        let least = near.first().map_or(0, |(slips, _)| *slips);
        let mut close: Vec<(usize, &str)> = Vec::new();
        let mut seen = BTreeSet::new();
        for (slips, folded) in near.into_iter().filter(|(slips, _)| *slips <= least + 1) {
            // The several names of one kind are one suggestion.
            let kind = names.names.iter().find(|it| it.folded == folded);
            if seen.insert(kind.map_or(Err(folded), |it| Ok(it.kind)))
                && let Some((_, shown)) = known().find(|(other, _)| *other == folded)
            {
                close.push((slips, shown));
            }
        }
        if close.is_empty() {
            let told: BTreeSet<usize> = words.iter().flat_map(|word| names.near(word)).collect();
            let kinds = self.kinds(told).into_iter();
            close.extend(kinds.map(|it| (chars, it.common_name.as_str())));
        }
        close.truncate(MOST_CLOSE);
        close
    }
}
