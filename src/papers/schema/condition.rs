//! Conditions: which facts can be named where, and which phrases fit each.

use serde_json::{Map, Value, json};

use crate::facts::{Fact, FactGroup, Vocabulary};
use crate::language::phrase::{ANSWERED, BLANK, fitting};
use crate::papers::web_form::UNIT_NAMES;
use crate::questionnaire::{Choice, Kind};
use crate::units::Unit;

use super::parts::literal;

/// Where a condition stands when it is about the case as a whole.
pub(super) const CASE: &str = "case";

/// A reference to a part that [`parts`] has.
pub(super) fn reference(name: &str) -> Value {
    json!({"$ref": format!("#/$defs/{name}")})
}

/// The name of the conditions on one entry of a repeated group, by what an entry is called.
pub(super) fn each(noun: &str) -> String {
    format!("each-{noun}")
}

/// The name of the phrases of a fact.
fn phrases_of(group: &FactGroup, fact: &Fact) -> String {
    format!("phrase.{}.{}", group.id, fact.id)
}

/// All that conditions are made of: the phrases of each fact, the conditions on a case, and those on one entry of each repeated group.
/// `answered` and `blank` are offered where they may stand.
pub(super) fn parts(vocabulary: &Vocabulary, asks_whether_answered: bool) -> Map<String, Value> {
    let mut parts = Map::new();
    for group in &vocabulary.groups {
        for fact in &group.facts {
            parts.insert(
                phrases_of(group, fact),
                phrases(fact, asks_whether_answered),
            );
        }
    }
    parts.insert(CASE.to_owned(), condition(vocabulary, CASE, None, false));
    for group in &vocabulary.groups {
        if let Some(noun) = &group.repeats {
            let name = each(noun);
            parts.insert(
                name.clone(),
                condition(vocabulary, &name, Some(group), false),
            );
            // Inside a second one, the facts of the first can be named as well, whichever it is.
            let within = format!("{name}-within");
            parts.insert(
                within.clone(),
                condition(vocabulary, &within, Some(group), true),
            );
        }
    }
    parts
}

/// A condition on the case, or on one entry of a group.
fn condition(vocabulary: &Vocabulary, name: &str, of: Option<&FactGroup>, within: bool) -> Value {
    let mut properties = Map::new();
    let list = json!({"type": "array", "minItems": 1, "items": reference(name)});
    let mut ways = |key: &str, says: &str, mut part: Value| {
        part["description"] = json!(says);
        properties.insert(key.to_owned(), part);
    };
    ways(
        "any",
        "At least one of these conditions holds.",
        list.clone(),
    );
    ways("all", "All of these conditions hold.", list);
    ways("not", "This condition does not hold.", reference(name));
    let mut patterns = Map::new();
    for group in &vocabulary.groups {
        let Some(noun) = &group.repeats else { continue };
        let each = each(noun);
        let inside = if of.is_some() {
            format!("{each}-within")
        } else {
            each
        };
        for (quantifier, says) in [
            ("any", "At least one"),
            ("no", "Not one"),
            ("every", "Every"),
        ] {
            let mut part = reference(&inside);
            part["description"] = json!(format!("{says} {noun} meets this."));
            properties.insert(format!("{quantifier} {noun}"), part);
        }
        let nouns = format!(
            "({}|{}s|{})",
            literal(noun),
            literal(noun),
            literal(&group.id)
        );
        patterns.insert(
            format!("^((any|no|every)|at +least +[1-9][0-9]*) +{nouns}$"),
            reference(&inside),
        );
    }
    if let Some(group) = of {
        for fact in &group.facts {
            properties.insert(fact.id.clone(), reference(&phrases_of(group, fact)));
        }
    }
    for group in &vocabulary.groups {
        let in_reach = group.repeats.is_none() || within || of.is_some_and(|of| of.id == group.id);
        for fact in group.facts.iter().filter(|_| in_reach) {
            properties.insert(
                format!("{}.{}", group.id, fact.id),
                reference(&phrases_of(group, fact)),
            );
        }
    }
    json!({"type": "object", "minProperties": 1, "additionalProperties": false, "properties": properties, "patternProperties": patterns})
}

/// What can be said of a fact.
pub(super) fn phrases(fact: &Fact, asks_whether_answered: bool) -> Value {
    let choices = &fact.choices;
    let one = alternatives(choices);
    let several = format!("{one}( *, *{one})*");
    let mut plain: Vec<Value> = Vec::new();
    let mut patterns: Vec<String> = Vec::new();
    match fact.kind {
        Kind::YesNo => plain.extend([json!("yes"), json!("no"), json!(true), json!(false)]),
        Kind::Choice | Kind::Level => {
            plain.extend(choices.iter().map(|choice| json!(choice.id)));
            patterns.push(one.clone());
            patterns.push(format!("not {one}"));
            patterns.push(format!("(one|none) of {several}"));
        }
        Kind::Choices => {
            patterns.push(format!("(includes|excludes) {one}"));
            patterns.push(format!(
                "(includes any of|includes all of|excludes all of) {several}"
            ));
        }
        Kind::Number(unit) => {
            let quantity = quantity(unit);
            patterns.push(format!("((under|over|at least|at most) )?{quantity}"));
            patterns.push(format!("between -?{NUMBER}[a-z]* *and {quantity}"));
        }
        Kind::Date => {
            let quantity = quantity(Unit::Days);
            patterns.push(format!("(within|in the next) {quantity}"));
            patterns.push(format!("over {quantity} ago"));
        }
        Kind::Text => {}
    }
    if fact.kind == Kind::Level {
        patterns.push(format!("(at least|at most|under|over) {one}"));
        patterns.push(format!("between {one} and {one}"));
    }
    if asks_whether_answered {
        plain.extend([json!(ANSWERED), json!(BLANK)]);
    }
    let mut ways = Vec::new();
    if !plain.is_empty() {
        ways.push(json!({ "enum": plain }));
    }
    if let Kind::Number(unit) = fact.kind
        && unit.may_be_left_out()
    {
        ways.push(json!({"type": "number"}));
    }
    if !patterns.is_empty() {
        ways.push(json!({"type": "string", "pattern": format!("^ *({}) *$", patterns.join("|"))}));
    }
    if ways.is_empty() {
        return json!(false);
    }
    let mut examples = fitting(fact);
    examples
        .retain(|phrase| asks_whether_answered || ![ANSWERED, BLANK].contains(&phrase.as_str()));
    json!({"description": description(fact), "anyOf": ways, "examples": examples})
}

/// What a fact is, and what its choices mean.
fn description(fact: &Fact) -> String {
    let mut says = fact.title.clone();
    if !fact.about.is_empty() {
        says.push(' ');
        says.push_str(&fact.about);
    }
    for choice in &fact.choices {
        says.push_str(&format!("\n{}: {}", choice.id, choice.words));
    }
    says
}

/// Any one of some choices. Spaces and hyphens are as good as each other.
fn alternatives(choices: &[Choice]) -> String {
    let mut ids: Vec<&str> = choices.iter().map(|choice| choice.id.as_str()).collect();
    // The longest first: some engines take the first that fits.
    ids.sort_by_key(|id| std::cmp::Reverse(id.len()));
    let loose = ids.into_iter().map(|id| {
        let words = id.split([' ', '-', '_']).map(literal);
        words.collect::<Vec<_>>().join("[-_ ]+")
    });
    format!("({})", loose.collect::<Vec<_>>().join("|"))
}

/// A number, whole or not, with a fraction or not, and the blank behind it.
const NUMBER: &str = "[0-9½¼¾⅛⅜⅝⅞][0-9½¼¾⅛⅜⅝⅞.,/ ]*";

/// A number with a unit that fits.
fn quantity(unit: Unit) -> String {
    let mut fitting: Vec<&str> = UNIT_NAMES
        .iter()
        .copied()
        .filter(|name| unit.read(&format!("1 {name}")).is_ok())
        .collect();
    fitting.sort_by_key(|name| std::cmp::Reverse(name.len()));
    let units: Vec<String> = fitting.into_iter().map(literal).collect();
    let with = format!("{NUMBER}({})( old)?", units.join("|"));
    let whole = format!("-?{with}(,? *(and )?{with})*");
    // Of a date a bare number would leave days or weeks open, and there the unit is never left out.
    if unit.may_be_left_out() && unit != Unit::Days {
        format!("({whole}|-?{NUMBER})")
    } else {
        format!("({whole})")
    }
}
