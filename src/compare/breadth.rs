//! Whether one condition holds of every case another one holds of. Told from their shape alone, so that it is so of every case there can be.

use crate::facts::Vocabulary;
use crate::language::Condition;
use crate::language::condition::{FactRef, Quantifier};
use crate::language::phrase::Test;

use super::way::Way;

/// Which way a rule's condition went: broader is tighter, because the rule speaks of more cases.
#[must_use]
pub(super) fn way(
    (old, old_names): (&Condition, &Vocabulary),
    (new, new_names): (&Condition, &Vocabulary),
) -> Way {
    let forth = Names {
        narrow: old_names,
        broad: new_names,
    };
    let back = Names {
        narrow: new_names,
        broad: old_names,
    };
    match (forth.within(old, new), back.within(new, old)) {
        (true, true) => Way::Neither,
        (true, false) => Way::Tightened,
        (false, true) => Way::Loosened,
        (false, false) => Way::Either,
    }
}

/// The names of the facts of two conditions.
struct Names<'a> {
    narrow: &'a Vocabulary,
    broad: &'a Vocabulary,
}

impl Names<'_> {
    /// The same names, turned round: what is narrow within `not` is broad outside of it.
    fn turned(&self) -> Self {
        Self {
            narrow: self.broad,
            broad: self.narrow,
        }
    }

    /// True when the truth of `narrow` is never above that of `broad`, in the order false, blank, true. False when that is not so, and
    /// when the shape does not tell.
    fn within(&self, narrow: &Condition, broad: &Condition) -> bool {
        match (narrow, broad) {
            (Condition::Any(parts), _) => parts.iter().all(|part| self.within(part, broad)),
            (_, Condition::All(parts)) => parts.iter().all(|part| self.within(narrow, part)),
            (Condition::All(parts), Condition::Any(ways)) => {
                parts.iter().any(|part| self.within(part, broad))
                    || ways.iter().any(|part| self.within(narrow, part))
            }
            (Condition::All(parts), _) => parts.iter().any(|part| self.within(part, broad)),
            (_, Condition::Any(parts)) => parts.iter().any(|part| self.within(narrow, part)),
            (Condition::Not(narrow), Condition::Not(broad)) => self.turned().within(broad, narrow),
            (
                Condition::Is {
                    fact, test, phrase, ..
                },
                Condition::Is {
                    fact: fact_0,
                    test: test_0,
                    phrase: phrase_0,
                    ..
                },
            ) => self.fact_within((*fact, test, phrase), (*fact_0, test_0, phrase_0)),
            (
                Condition::Count {
                    quantifier,
                    group,
                    each,
                    ..
                },
                Condition::Count {
                    quantifier: quantifier_0,
                    group: group_0,
                    each: each_0,
                    ..
                },
            ) => {
                let same = self.narrow.groups[*group].id == self.broad.groups[*group_0].id;
                same && match (quantifier, quantifier_0) {
                    (Quantifier::AtLeast(more), Quantifier::AtLeast(fewer)) => {
                        more >= fewer && self.within(each, each_0)
                    }
                    (Quantifier::No, Quantifier::No) => self.turned().within(each_0, each),
                    (Quantifier::Every, Quantifier::Every) => self.within(each, each_0),
                    _ => false,
                }
            }
            _ => false,
        }
    }

    fn fact_within(
        &self,
        (fact, test, phrase): (FactRef, &Test, &str),
        (fact_0, test_0, phrase_0): (FactRef, &Test, &str),
    ) -> bool {
        if self.narrow.name(fact) != self.broad.name(fact_0) {
            return false;
        }
        let ids = |names: &Vocabulary, at: FactRef| -> Vec<String> {
            let choices = &names.fact(at).choices;
            choices.iter().map(|choice| choice.id.clone()).collect()
        };
        // Between other choices the places of choices tell nothing; the same words then mean the same.
        if ids(self.narrow, fact) != ids(self.broad, fact_0) {
            return phrase == phrase_0;
        }
        test_within(test, test_0)
    }
}

/// True when every value that meets `narrow` meets `broad`.
fn test_within(narrow: &Test, broad: &Test) -> bool {
    match (narrow, broad) {
        (Test::OneOf(few), Test::OneOf(many))
        | (Test::IncludesAny(few), Test::IncludesAny(many)) => few & !many == 0,
        (Test::IncludesAll(many), Test::IncludesAll(few))
        | (Test::Excludes(many), Test::Excludes(few)) => few & !many == 0,
        (Test::IncludesAll(all), Test::IncludesAny(any)) => all & any != 0,
        (Test::Within(narrow), Test::Within(broad)) => narrow.shared(broad) == *narrow,
        (narrow, broad) => narrow == broad,
    }
}
