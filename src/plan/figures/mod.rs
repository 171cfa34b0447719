//! The figures of the case as the papers print them: inputs, values, and how they are told. No sentence is made here.

mod bird;
mod cage;
mod food;
mod people;
mod place;

pub use cage::of_kind;

use serde::Serialize;
use serde_json::{Value as Json, json};

use crate::answers::Given;
use crate::decision::Decision;
use crate::facts::case::Case;
use crate::facts::workings::Workings;
use crate::facts::{Items, Value, show};
use crate::figures::span::Span;
use crate::intake::Intake;
use crate::language::FactRef;
use crate::rulebook::{FigureText, Rulebook};

/// The place of what was never published.
const NOWHERE: &str = "none";

/// One input of a figure.
#[derive(Debug, Clone, Serialize)]
pub struct Input {
    /// The question.
    pub fact: String,
    /// The question in words.
    pub label: String,
    /// What was told, for each entry where there are several.
    pub value: String,
    /// True when nothing was told.
    pub blank: bool,
}

/// One figure.
#[derive(Debug, Clone, Serialize)]
pub struct Figure {
    /// Its id.
    pub id: String,
    /// Its heading.
    pub title: String,
    /// What it is worked out from.
    pub inputs: Vec<Input>,
    /// Its values; each id has its own.
    pub values: Json,
    /// For which values it is valid, and how far off it may be.
    pub range: String,
    /// Its sources, in full.
    pub sources: Vec<String>,
    /// True when it is for the consultant alone.
    pub private: bool,
    /// Template of its results, one to a line.
    #[serde(skip)]
    pub works: String,
    /// Template of what is assumed, one to a line.
    #[serde(skip)]
    pub assumes: String,
    /// Template of the household's sentence.
    #[serde(skip)]
    pub tell: String,
}

/// All figures, in the order of the rulebook.
#[must_use]
pub fn figures(rulebook: &Rulebook, intake: &Intake, decision: &Decision) -> Vec<Figure> {
    let case = Case {
        vocabulary: &rulebook.vocabulary,
        answers: &intake.answers,
        groups: &decision.facts.groups,
    };
    let sheet = Sheet {
        rulebook,
        case,
        workings: &decision.workings,
    };
    rulebook
        .figures
        .iter()
        .map(|text| sheet.figure(text))
        .collect()
}

struct Sheet<'a> {
    rulebook: &'a Rulebook,
    case: Case<'a>,
    workings: &'a Workings,
}

impl Sheet<'_> {
    fn figure(&self, text: &FigureText) -> Figure {
        Figure {
            id: text.id.clone(),
            title: text.title.clone(),
            inputs: text.inputs.iter().map(|at| self.input(*at)).collect(),
            values: self.values(&text.id),
            range: text.range.clone(),
            sources: text
                .source
                .iter()
                .filter_map(|key| self.rulebook.sources.get(key))
                .map(|source| {
                    if source.place == NOWHERE {
                        return source.title.clone();
                    }
                    let how = if source.how == "read" {
                        String::new()
                    } else {
                        format!(" ({})", source.how)
                    };
                    let year = &source.year;
                    format!(
                        "{}, {year}. {}. {}{how}",
                        source.author, source.title, source.place
                    )
                })
                .collect(),
            private: text.private,
            works: text.works.clone(),
            assumes: text.assumes.clone(),
            tell: text.tell.clone(),
        }
    }

    fn input(&self, at: FactRef) -> Input {
        let vocabulary = self.case.vocabulary;
        let fact = vocabulary.fact(at);
        let told = |item: Option<usize>, value: &Value| match self
            .case
            .answers
            .given(at.group, item, at.fact)
        {
            Some(Given::Text(text)) => text.clone(),
            Some(Given::Date(date)) => date.to_string(),
            _ => show(fact, value),
        };
        let (value, blank) = match self.case.groups.get(at.group) {
            Some(Items::Once(values)) => {
                values.get(at.fact).map_or((String::new(), true), |value| {
                    (told(None, value), value.is_blank())
                })
            }
            Some(Items::Many(Some(items))) => (
                items
                    .iter()
                    .enumerate()
                    .filter_map(|(item, values)| Some(told(Some(item), values.get(at.fact)?)))
                    .collect::<Vec<_>>()
                    .join("; "),
                items
                    .iter()
                    .all(|values| values.get(at.fact).is_none_or(Value::is_blank)),
            ),
            _ => (show(fact, &Value::UNANSWERED), true),
        };
        Input {
            fact: vocabulary.name(at),
            label: fact.title.clone(),
            value,
            blank,
        }
    }

    fn values(&self, id: &str) -> Json {
        match id {
            "kind" => self.kind(),
            "cage" => self.cage(),
            "wings" => self.wings(),
            "bars" => self.bars(),
            "energy" => self.energy(),
            "rewards" => self.rewards(),
            "weight" => self.weight(),
            "reach" => self.reach(),
            "faces" => self.faces(),
            "room" => self.room(),
            "record" => self.record(),
            "wounds" => self.wounds(),
            "illness" => self.illness(),
            _ => Json::Null,
        }
    }
}

fn span(span: Option<Span>) -> Json {
    span.map_or(
        Json::Null,
        |span| json!({"low": span.low, "high": span.high}),
    )
}
