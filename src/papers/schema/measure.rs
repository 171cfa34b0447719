//! Measures.

use serde_json::{Value, json};

use crate::rulebook::{Control, HumaneStep, Measure, Rulebook, Start, Urgency, keys};

use super::parts::{has, has_any, id, names, object, said, text, word};

/// A measure: a thing to do, or a thing never to do.
pub(super) fn measure(rulebook: &Rulebook) -> Value {
    let ids = |wanted: &dyn Fn(&Measure) -> bool| {
        let fits = rulebook.measures.values().filter(|measure| wanted(measure));
        names(fits.map(|measure| &measure.id))
    };
    let to_do = |measure: &Measure| !measure.is_never();
    let mut schema = object(
        keys::MEASURE,
        &["id", "title", "why", "for", "control", "step", "source"],
        |key| match key {
            "id" => said(
                "The name of the file: lower-case words joined by hyphens.",
                id(),
            ),
            "title" => said("Three to eight words.", text()),
            "do" => said("What to do, in plain words.", text()),
            "never" => said("What never to do, in plain words.", text()),
            "instead" => said("What to do instead.", text()),
            "why" => said("One sentence of why.", text()),
            "for" => said(
                "Whom it is for. `person` needs a rule with `for each: person`.",
                word(keys::MEASURE_FOR),
            ),
            "who" => said("Who does it.", text()),
            "when" => said("When it is done.", text()),
            "start" => said(
                "When it starts; `when it happens` for a standing order.",
                word(Urgency::WORDS),
            ),
            "done" => said("How to know that it is done.", text()),
            "control" => said(
                "How it keeps people safe, the strongest kind first.",
                word(Control::WORDS),
            ),
            "step" => said(
                "Where it stands in the humane order, the least intrusive first.",
                word(HumaneStep::WORDS),
            ),
            "source" => said(
                "What it rests on: keys of sources.yaml. `practice` is common practice, no source.",
                names(rulebook.sources.keys()),
            ),
            "only-from" => said(
                "For training steps: not printed until work may start as loosely as this.",
                word(&Start::WORDS[..Start::WORDS.len() - 1]),
            ),
            "starts-when" => said("What releases it from the later list.", text()),
            "covers" => said(
                "Measures that are needless once this one is known to apply.",
                ids(&|_| true),
            ),
            "comes-before" => said("Measures that wait until this one is done.", ids(&to_do)),
            "rules-out" => said("Things to do that this one forbids.", ids(&to_do)),
            _ => None,
        },
    );
    let needs =
        |keys: &[&str]| json!({"allOf": keys.iter().map(|key| has(key)).collect::<Vec<_>>()});
    schema["if"] = has("never");
    schema["then"] = json!({"allOf": [has("instead"), {"not": has_any(keys::ONLY_DO)}]});
    schema["else"] = json!({"allOf": [needs(&keys::ONLY_DO[..keys::NEEDED_DO]), {"not": has_any(keys::ONLY_NEVER)}]});
    schema
}
