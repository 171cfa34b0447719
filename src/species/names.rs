//! Names in one form for comparing, and which kinds each name stands for.

use std::collections::{BTreeMap, BTreeSet};

use super::companion::Companion;
use super::traits::Trait;

/// One form for comparing names of kinds: small letters, marks over letters left out, single blanks, no apostrophes, `&`
/// as "and", `×` as "x", "gray" as "grey", and every word in the singular. It is no spelling of anything: "lories" and "lory"
/// come out alike, and so do both forms of "Pionus".
pub(super) fn folded(text: &str) -> Vec<String> {
    let mut words = Vec::new();
    let mut word = String::new();
    let mut chars = text.chars().peekable();
    let mut end = |word: &mut String| {
        if !word.is_empty() {
            words.push(singular(&std::mem::take(word)));
        }
    };
    while let Some(c) = chars.next() {
        match c {
            '\'' | '\u{2019}' | '\u{2018}' | '`' | '\u{b4}' | '\u{2bb}' | '\u{2bc}' => {
                // The s of a possessive goes with its apostrophe, when the word ends there.
                let mut ahead = chars.clone();
                let possessive = ahead.next().is_some_and(|c| c == 's' || c == 'S')
                    && !ahead.next().is_some_and(char::is_alphanumeric);
                if possessive && !word.is_empty() {
                    chars.next();
                }
            }
            '&' => {
                end(&mut word);
                word.push_str("and");
                end(&mut word);
            }
            '\u{d7}' => {
                end(&mut word);
                word.push('x');
                end(&mut word);
            }
            c if c.is_alphanumeric() => word.extend(c.to_lowercase().map(plain)),
            // Marks that stand on the letter before them.
            '\u{300}'..='\u{36f}' => {}
            _ => end(&mut word),
        }
    }
    end(&mut word);
    words
}

/// A letter without the mark over it, for the marks that names of parrots are written with.
fn plain(c: char) -> char {
    match c {
        'á' | 'à' | 'â' | 'ä' | 'ã' | 'å' | 'ā' => 'a',
        'é' | 'è' | 'ê' | 'ë' | 'ē' => 'e',
        'í' | 'ì' | 'î' | 'ï' | 'ī' => 'i',
        'ó' | 'ò' | 'ô' | 'ö' | 'õ' | 'ō' => 'o',
        'ú' | 'ù' | 'û' | 'ü' | 'ū' => 'u',
        'ç' => 'c',
        'ñ' => 'n',
        c => c,
    }
}

/// A word in the singular, by its ending alone.
fn singular(word: &str) -> String {
    let word = match word {
        "gray" | "grays" => "grey",
        other => other,
    };
    let long = word.chars().count() > 3;
    if !long {
        return word.to_owned();
    }
    // "Grass" and "princess" are no plurals; behind a consonant both letters are endings, as in "Ducorpss" for "Ducorps's".
    if let Some(stem) = word.strip_suffix("ss") {
        let vowel = stem.ends_with(['a', 'e', 'i', 'o', 'u']);
        return if vowel { word } else { stem }.to_owned();
    }
    for (ending, instead) in [("ies", "y"), ("ie", "y"), ("s", "")] {
        if let Some(stem) = word.strip_suffix(ending) {
            return format!("{stem}{instead}");
        }
    }
    word.to_owned()
}

/// The words of a name joined again.
pub(super) fn joined(words: &[String]) -> String {
    words.join(" ")
}

/// Words that alone name no kind of parrot.
const TOO_WIDE: &[&str] = &["and", "bird", "of", "parrot", "the"];

/// Colours, folded. One alone says little: a "blue conure" may be a colour form of a kind whose name holds no "blue".
const COLOURS: &[&str] = &[
    "black", "blue", "brown", "golden", "green", "grey", "orange", "pink", "red", "violet",
    "white", "yellow",
];

/// True for a word that says more than that a parrot is meant.
pub(super) fn is_named(word: &str) -> bool {
    word.len() > 2 && !TOO_WIDE.contains(&word)
}

/// True for a word that may tell one kind from another.
fn is_telling(word: &str) -> bool {
    is_named(word) && !COLOURS.contains(&word)
}

/// One name of a companion.
#[derive(Debug)]
pub(super) struct Name {
    /// As the table has it.
    pub(super) shown: String,
    /// Its words in the form for comparing.
    pub(super) words: Vec<String>,
    /// Those words joined.
    pub(super) folded: String,
    /// The place of its kind in the table.
    pub(super) kind: usize,
}

/// What the companions are called. Kinds are told by their place in the table.
#[derive(Debug)]
pub(super) struct CompanionNames {
    keys: BTreeMap<String, usize>,
    /// Names that people use and scientific names.
    whole: BTreeMap<String, BTreeSet<usize>>,
    /// Names of one dataset, which count where no other name is met: there "Eclectus Parrot" is one of two kinds.
    dataset: BTreeMap<String, BTreeSet<usize>>,
    /// Last words of names, such as "macaw", and genera.
    groups: BTreeMap<String, BTreeSet<usize>>,
    /// Each name people use, and each scientific name.
    pub(super) names: Vec<Name>,
}

impl CompanionNames {
    pub(super) fn of(companions: &[Companion]) -> Self {
        let mut names = Self {
            keys: BTreeMap::new(),
            whole: BTreeMap::new(),
            dataset: BTreeMap::new(),
            groups: BTreeMap::new(),
            names: Vec::new(),
        };
        for (at, companion) in companions.iter().enumerate() {
            names.keys.insert(joined(&folded(&companion.key)), at);
            for name in companion.names() {
                names.add(at, name);
            }
            let usual = [&companion.common_name, &companion.key];
            let called = usual
                .into_iter()
                .chain(&companion.home_names)
                .chain(&companion.ptdb_common_name);
            for name in called {
                names.add_group(at, folded(name).last());
            }
            for name in [&companion.scientific_name, &companion.avonet_name] {
                names.add_group(at, folded(name).first());
            }
            if let Some(name) = &companion.ptdb_common_name {
                let name = joined(&folded(name));
                names.dataset.entry(name).or_default().insert(at);
            }
        }
        // What ends the names of one kind alone is no group.
        names.groups.retain(|_, kinds| kinds.len() > 1);
        names
    }

    fn add(&mut self, at: usize, name: &str) {
        let words = folded(name);
        let folded = joined(&words);
        self.whole.entry(folded.clone()).or_default().insert(at);
        self.names.push(Name {
            shown: name.to_owned(),
            words,
            folded,
            kind: at,
        });
    }

    fn add_group(&mut self, at: usize, word: Option<&String>) {
        if let Some(word) = word.filter(|word| !TOO_WIDE.contains(&word.as_str())) {
            self.groups.entry(word.clone()).or_default().insert(at);
        }
    }

    /// The kinds that go by exactly this name. A key means its kind alone; one word that also ends the names of other
    /// kinds means them all.
    pub(super) fn exact(&self, name: &str) -> BTreeSet<usize> {
        if let Some(at) = self.keys.get(name) {
            return BTreeSet::from([*at]);
        }
        let mut kinds = self.whole.get(name).cloned().unwrap_or_default();
        if kinds.is_empty() {
            kinds = self.dataset.get(name).cloned().unwrap_or_default();
        }
        kinds.extend(self.group(name));
        kinds
    }

    /// The kinds of a group word such as "macaw"; none when it is no such word.
    pub(super) fn group(&self, word: &str) -> BTreeSet<usize> {
        self.groups.get(word).cloned().unwrap_or_default()
    }

    /// True for a word that may tell one kind from another, in a text with other words. A name of one word, such as
    /// "Sunny", may be the name of the pet there.
    pub(super) fn tells(&self, word: &str) -> bool {
        is_telling(word) && !self.whole.contains_key(word)
    }

    /// True for a word of some kind's name, or a colour, that is in no name of this one.
    pub(super) fn speaks_against(&self, word: &str, kind: usize) -> bool {
        let of = |name: &&Name| name.words.iter().any(|it| it == word);
        let mut its = self.names.iter().filter(|name| name.kind == kind);
        let known = COLOURS.contains(&word) || self.names.iter().any(|name| of(&name));
        known && !TOO_WIDE.contains(&word) && !its.any(|name| of(&name))
    }

    /// The kinds that a word, or one a slip away from it, tells from all but a few.
    pub(super) fn near(&self, word: &str) -> BTreeSet<usize> {
        let few = 3;
        if !self.tells(word) || word.chars().count() < 5 {
            return BTreeSet::new();
        }
        let words = self.names.iter().flat_map(|name| &name.words);
        let alike: BTreeSet<&String> = words
            .filter(|it| is_telling(it) && strsim::osa_distance(it, word) <= 1)
            .collect();
        alike
            .into_iter()
            .map(|it| self.holding(std::slice::from_ref(it)))
            .filter(|kinds| kinds.len() <= few)
            .flatten()
            .collect()
    }

    /// The kinds with a name that holds all of these words, in any order. Words that tell nothing, such as one colour and
    /// a group word, give no kind.
    pub(super) fn holding(&self, words: &[String]) -> BTreeSet<usize> {
        let tell = words
            .iter()
            .any(|word| is_telling(word) && self.group(word).is_empty());
        let colours = words
            .iter()
            .filter(|word| COLOURS.contains(&word.as_str()))
            .count();
        if !tell && colours < 2 {
            return BTreeSet::new();
        }
        let in_one: BTreeSet<usize> = self
            .names
            .iter()
            .filter(|name| words.iter().all(|word| name.words.contains(word)))
            .map(|name| name.kind)
            .collect();
        if !in_one.is_empty() {
            return in_one;
        }
        // Parts of several names of one kind: "Timneh grey parrot" out of "Timneh parrot" and "Timneh African grey".
        let has = |kind: usize, word: &String| {
            self.names
                .iter()
                .any(|name| name.kind == kind && name.words.contains(word))
        };
        let kinds: BTreeSet<usize> = self.names.iter().map(|name| name.kind).collect();
        kinds
            .into_iter()
            .filter(|kind| words.iter().all(|word| has(*kind, word)))
            .collect()
    }
}

/// What species outside the list of companions are called, and older names of those inside it.
#[derive(Debug)]
pub(super) struct TraitNames {
    companions: BTreeMap<String, usize>,
    traits: BTreeMap<String, usize>,
    /// Common names of species outside the list, in the form for comparing, with their places.
    common: Vec<(String, usize)>,
}

impl TraitNames {
    pub(super) fn of(traits: &[Trait], companions: &[Companion]) -> Self {
        let mut names = Self {
            companions: BTreeMap::new(),
            traits: BTreeMap::new(),
            common: Vec::new(),
        };
        for (at, it) in traits.iter().enumerate() {
            let companion = companions.iter().position(|c| c.avonet_name == it.species);
            let called = [it.species.as_str()]
                .into_iter()
                .chain(it.ptdb_common_name.as_deref())
                .chain(it.older_names());
            for name in called {
                let name = joined(&folded(name));
                match companion {
                    Some(companion) => names.companions.entry(name).or_insert(companion),
                    None => names.traits.entry(name).or_insert(at),
                };
            }
            if let (None, Some(name)) = (companion, &it.ptdb_common_name) {
                names.common.push((joined(&folded(name)), at));
            }
        }
        names
    }

    /// Common names of species outside the list: the form for comparing, and the name as the table has it.
    pub(super) fn shown<'a>(
        &'a self,
        traits: &'a [Trait],
    ) -> impl Iterator<Item = (&'a str, &'a str)> {
        self.common.iter().filter_map(|(folded, at)| {
            let shown = traits.get(*at)?.ptdb_common_name.as_deref()?;
            Some((folded.as_str(), shown))
        })
    }

    /// The companion that one of the trait tables calls so.
    pub(super) fn companion(&self, name: &str) -> Option<usize> {
        self.companions.get(name).copied()
    }

    /// The species outside the list of companions that is called so.
    pub(super) fn species(&self, name: &str) -> Option<usize> {
        self.traits.get(name).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::{folded, joined};

    fn alike(one: &str, other: &str) {
        assert_eq!(joined(&folded(one)), joined(&folded(other)), "{one}");
    }

    #[test]
    fn spelling_of_one_name_does_not_matter() {
        alike("Green-cheeked  CONURES", "green cheeked conure");
        alike("Goffin\u{2019}s cockatoo", "goffins cockatoo");
        alike("Ducorps's cockatoo", "Ducorps cockatoo");
        alike("Ducorpss cockatoo", "Ducorps' cockatoo");
        alike("lories", "lory");
        alike("budgies", "budgie");
        alike("Congo African Gray", "congo-african-grey");
        alike("K\u{101}k\u{101}riki", "kakariki");
        alike("Ka\u{304}ka\u{304}riki", "kakariki");
        alike("blue & gold macaw", "Blue and Gold Macaw");
        alike("sun\u{d7}jenday", "sun x jenday");
        alike("Pionus", "pionus");
    }

    #[test]
    fn what_is_no_plural_keeps_its_ending() {
        assert_eq!(joined(&folded("grass princess")), "grass princess");
        assert_eq!(joined(&folded("bus")), "bus");
        assert_eq!(joined(&folded("'s")), "s");
        assert_eq!(joined(&folded("<b>")), "b");
        assert!(folded(" - '").is_empty());
    }
}
