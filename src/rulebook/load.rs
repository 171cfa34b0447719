//! Reads rules, gates and measures.

use std::collections::BTreeMap;

use crate::answers;
use crate::facts::Vocabulary;
use crate::fields::{Fields, File};
use crate::file_kind::FileKind;
use crate::language::{Condition, FactRef, parse};
use crate::library::{Library, document_without};
use crate::mistake::{Place, Problem};
use crate::mistakes::data::{FileInWrongFolder, IdNotFileName, IdNotKebab, IdUsedTwice};
use crate::mistakes::rulebook::{EmptyCondition, ExampleMissing, UnknownFact};
use crate::questionnaire::Questionnaire;
use crate::tongue::Tongue;
use crate::tree::{Node, Path};
use crate::words::is_kebab;

use super::function::Functions;
use super::measure::{Control, HumaneStep, Measure, MeasureKind, Urgency};
use super::outcome::{Contact, Risk, Start, Vet};
use super::rule::{Example, ExampleKind, Gate, Layer, Need, Priority, Rule, Then, is_private};
use super::sayings::Sayings;
use super::tables::Tables;
use super::{Care, Rulebook, check, edition, figure, keys, second_reader, sign, triage};

/// The language the texts of rules and measures are in.
const OWN_LANGUAGE: &str = "en";

/// The kinds of files that are read here.
const HERE: &[FileKind] = &[FileKind::Rule, FileKind::Gate, FileKind::Measure];

/// Reads everything that lies in a topic folder or under `measures/`.
pub(super) fn load(
    library: &Library,
    questionnaire: Questionnaire,
    vocabulary: Vocabulary,
    tables: Tables,
    care: Care,
    problems: &mut Vec<Problem>,
) -> Rulebook {
    let mut gates: Vec<Gate> = Vec::new();
    let mut measures: BTreeMap<String, Measure> = BTreeMap::new();
    let mut seen: BTreeMap<(bool, &str), (&str, &str)> = BTreeMap::new();
    // Measures first, so that rules can be checked against them where they name them.
    let files = library.files.iter().filter_map(|(name, source)| {
        let (topic, rest) = name.split_once('/')?;
        if !rest.ends_with(".yaml") {
            return None;
        }
        let layer = if library.is_own(name) {
            Layer::Practice
        } else {
            Layer::Base
        };
        (topic == "measures" || !keys::NOT_RULES.contains(&topic))
            .then_some((topic, rest, source, layer))
    });
    let (first, second): (Vec<_>, Vec<_>) = files.partition(|(topic, ..)| *topic == "measures");
    let mut rules: Vec<Rule> = Vec::with_capacity(second.len());
    for (topic, rest, source, layer) in first.into_iter().chain(second) {
        let is_measure = topic == "measures";
        let stem = rest
            .rsplit('/')
            .next()
            .and_then(|file| file.strip_suffix(".yaml"))
            .unwrap_or(rest);
        // Half of a rule are its examples, and nobody runs them here.
        let left_out = (care == Care::Trusted).then_some("examples");
        let document = match document_without(source, left_out) {
            Ok(document) => document,
            Err(found) => {
                problems.extend(found);
                continue;
            }
        };
        let file = File::new(&document);
        let reader = Reader {
            file: &file,
            vocabulary: &vocabulary,
            questionnaire: &questionnaire,
            tables: &tables,
            topic,
            stem,
            layer,
            care,
        };
        if let Some((other, rest)) = seen.insert((is_measure, stem), (topic, rest)) {
            file.fault(
                &Path::default().key("id"),
                IdUsedTwice {
                    id: stem.to_owned(),
                    other: format!("{other}/{rest}"),
                },
            );
        } else if let Some(kind) = (care == Care::Full)
            .then(|| FileKind::told_by(&document.root))
            .flatten()
            .filter(|kind| is_measure != (*kind == FileKind::Measure) || !HERE.contains(kind))
        {
            file.fault(
                &Path::default(),
                FileInWrongFolder {
                    is: kind.words().to_owned(),
                    belongs: kind.belongs().to_owned(),
                },
            );
        } else if is_measure {
            if let Some(measure) = reader.measure() {
                measures.insert(measure.id.clone(), measure);
            }
        } else if keys::ONLY_GATE
            .iter()
            .any(|key| document.root.get(key).is_some())
        {
            gates.extend(reader.gate());
        } else {
            rules.extend(reader.rule(&measures));
        }
        problems.extend(file.into_problems());
    }
    rules.sort_by(|a, b| a.id.cmp(&b.id));
    gates.sort_by(|a, b| a.id.cmp(&b.id));
    let functions = Functions::load(library, &vocabulary, &tables, problems);
    let figures = figure::load(library, &vocabulary, &tables, problems);
    let sayings = Sayings::load(library, &tables, problems);
    let sign = sign::load(library, &vocabulary, &tables, problems);
    let second_reader = second_reader::load(library, &vocabulary, &tables, problems);
    let triage = triage::load(library, &questionnaire, &vocabulary, &tables, problems);
    Rulebook {
        sign,
        second_reader,
        triage,
        functions,
        figures,
        sayings,
        questionnaire,
        vocabulary,
        rules,
        gates,
        measures,
        sources: tables.sources.clone(),
        tables,
        house_rules: None,
        departures: Vec::new(),
        tongue: Tongue::load(library, OWN_LANGUAGE, problems),
        fingerprint: library.fingerprint(),
        apart: None,
    }
}

struct Reader<'a> {
    file: &'a File<'a>,
    vocabulary: &'a Vocabulary,
    questionnaire: &'a Questionnaire,
    tables: &'a Tables,
    topic: &'a str,
    stem: &'a str,
    layer: Layer,
    care: Care,
}

impl<'a> Reader<'a> {
    fn id(&self, fields: &Fields<'_>) -> String {
        let id = fields.needed_text("id");
        if id.is_empty() {
            return self.stem.to_owned();
        }
        if !is_kebab(&id) {
            self.file
                .fault(&fields.at("id"), IdNotKebab { id: id.clone() });
        } else if id != self.stem {
            self.file.fault(
                &fields.at("id"),
                IdNotFileName {
                    id: id.clone(),
                    stem: self.stem.to_owned(),
                },
            );
        }
        self.stem.to_owned()
    }

    /// The start of the file: told without looking for the place of anything in it, which takes a second pass.
    fn place(&self) -> Place {
        self.file.source.place(0..1)
    }

    /// Household words under these keys must not hold refused words.
    fn kind_words(&self, fields: &Fields<'_>, keys: &[&str]) {
        if self.care == Care::Full {
            check::refused_words(fields, keys, self.tables);
        }
    }

    fn condition(&self, fields: &Fields<'a>, key: &str, scope: &[usize]) -> Option<Condition> {
        let node = fields.need(key)?;
        let condition = parse::condition(self.file, self.vocabulary, node, &fields.at(key), scope)?;
        check::can_hold(self.file, &fields.at(key), self.vocabulary, &condition);
        Some(condition)
    }

    fn rule(&self, measures: &BTreeMap<String, Measure>) -> Option<Rule> {
        let fields = self.file.fields(keys::RULE);
        let id = self.id(&fields);
        let each_person = fields.word("for each", keys::FOR_EACH).is_some();
        let people = self.vocabulary.group_by_noun("person");
        let scope: Vec<usize> = if each_person {
            people.into_iter().collect()
        } else {
            Vec::new()
        };
        let when = self.condition(&fields, "when", &scope);
        let then = self.then(&fields, each_person, measures);
        if let Some(when) = &when {
            check::guard(self.file, self.vocabulary, when, &then);
        }
        self.kind_words(&fields, &["tell"]);
        let tell = fields.text("tell").unwrap_or_default();
        if then.is_guard() && tell.is_empty() {
            let _ = fields.need("tell");
        }
        let title = fields.needed_text("title");
        let why = fields.needed_text("why");
        let source = check::sources(&fields, self.tables);
        let examples = self.examples(&fields);
        let when = when?;
        Some(Rule {
            id,
            topic: self.topic.to_owned(),
            title,
            why,
            tell,
            source,
            each_person,
            between: self.between(&fields),
            priority: fields
                .word("priority", Priority::WORDS)
                .map_or(Priority::Normal, |at| Priority::ALL[at]),
            layer: self.layer,
            floor: fields.yes("floor"),
            review_by: fields
                .get("review-by")
                .and_then(|_| edition::day(&fields, "review-by")),
            private: is_private(self.vocabulary, &when),
            when,
            then,
            departed: None,
            examples,
            place: self.place(),
        })
    }

    /// The facts whose answers a contradiction sets side by side.
    fn between(&self, fields: &Fields<'a>) -> Vec<FactRef> {
        let mut between = Vec::new();
        for (name, way) in fields.texts("between") {
            match self.vocabulary.find(&name) {
                Some(at) => between.push(at),
                None => self
                    .file
                    .fault(&way.path(), UnknownFact { close: None, name }),
            }
        }
        between
    }

    fn then(
        &self,
        fields: &Fields<'a>,
        each_person: bool,
        measures: &BTreeMap<String, Measure>,
    ) -> Then {
        let Some(node) = fields.need("then") else {
            return Then::default();
        };
        let fields = Fields::new(self.file, node, fields.at("then"), keys::THEN);
        check::then(&fields, each_person, measures, self.tables, self.vocabulary);
        Then {
            risk: fields.word("risk", Risk::WORDS).map(|at| Risk::ALL[at]),
            start: fields.word("start", Start::WORDS).map(|at| Start::ALL[at]),
            contact: fields
                .word("contact", Contact::WORDS)
                .map(|at| Contact::ALL[at]),
            vet: fields.word("vet", Vet::WORDS).map(|at| Vet::ALL[at]),
            do_: fields.words("do"),
            never: fields.words("never"),
            refer: fields.words("refer"),
            ask: fields.words("ask"),
        }
    }

    fn gate(&self) -> Option<Gate> {
        let fields = self.file.fields(keys::GATE);
        let id = self.id(&fields);
        // Hands-off needs no gate: it is where everyone stands until something is proven.
        let modes = &Start::WORDS[..Start::WORDS.len() - 1];
        let opens = fields.needed_word("opens", modes).map(|at| Start::ALL[at]);
        let needs = fields.need("needs");
        let items = fields.items("needs");
        if needs.is_some() && items.is_empty() {
            // A gate that needs nothing would stand open to everyone.
            self.file.fault(&fields.at("needs"), EmptyCondition {});
        }
        let mut needs = Vec::new();
        for (node, path) in &items {
            let need = Fields::new(self.file, node, path.clone(), keys::NEED);
            self.kind_words(&need, &["prove"]);
            let prove = need.needed_text("prove");
            if let Some(when) = self.condition(&need, "when", &[]) {
                check::no_blank_tests(self.file, self.vocabulary, &when);
                needs.push(Need {
                    prove,
                    private: is_private(self.vocabulary, &when),
                    when,
                });
            }
        }
        self.kind_words(&fields, &["tell"]);
        let gate = Gate {
            id,
            topic: self.topic.to_owned(),
            layer: self.layer,
            title: fields.needed_text("title"),
            why: fields.needed_text("why"),
            tell: fields.needed_text("tell"),
            source: check::sources(&fields, self.tables),
            opens: opens.unwrap_or(Start::OpenRoom),
            examples: self.examples(&fields),
            place: self.place(),
            needs,
        };
        (opens.is_some() && !gate.needs.is_empty() && gate.needs.len() == items.len())
            .then_some(gate)
    }

    fn examples(&self, fields: &Fields<'a>) -> Vec<Example> {
        let mut examples = Vec::new();
        let mut shown = Vec::new();
        if self.care == Care::Trusted {
            return examples;
        }
        let _ = fields.need("examples");
        for (node, path) in fields.items("examples") {
            let example = Fields::new(self.file, node, path, ExampleKind::WORDS);
            for (at, word) in ExampleKind::WORDS.iter().enumerate() {
                let Some(node) = example.get(word) else {
                    continue;
                };
                let below = example.at(word);
                shown.push(ExampleKind::ALL[at]);
                if let Some(example) = self.example(ExampleKind::ALL[at], node, &below) {
                    examples.push(example);
                }
            }
        }
        for kind in ExampleKind::ALL {
            if fields.get("examples").is_some() && !shown.contains(kind) {
                self.file.fault_at_key(
                    &fields.at("examples"),
                    ExampleMissing {
                        kind: match kind {
                            ExampleKind::Fires => "fires".to_owned(),
                            ExampleKind::Quiet => "stays quiet".to_owned(),
                            ExampleKind::Blank => "meets a blank".to_owned(),
                        },
                    },
                );
            }
        }
        examples
    }

    fn example(&self, kind: ExampleKind, node: &'a Node<'a>, below: &Path) -> Option<Example> {
        let today = self.tables.examples_day?;
        let places = || self.file.places().clone();
        let (answers, problems) = answers::read(
            self.questionnaire,
            self.file.source,
            node,
            below,
            &places,
            today,
        );
        let failed = problems.iter().any(Problem::is_error);
        self.file.extend(problems);
        if failed {
            return None;
        }
        Some(Example {
            kind,
            answers,
            today,
            place: self.file.place(below),
        })
    }

    fn measure(&self) -> Option<Measure> {
        let fields = self.file.fields(keys::MEASURE);
        let id = self.id(&fields);
        let is_never = fields.get("never").is_some();
        let extra = if is_never {
            keys::ONLY_DO
        } else {
            keys::ONLY_NEVER
        };
        for key in extra {
            if fields.get(key).is_some() {
                self.file.fault_at_key(
                    &fields.at(key),
                    crate::mistakes::data::UnknownField {
                        key: (*key).to_owned(),
                        close: None,
                        keys: if is_never {
                            vec![
                                "never".into(),
                                "instead".into(),
                                "why".into(),
                                "rules-out".into(),
                            ]
                        } else {
                            vec![
                                "do".into(),
                                "who".into(),
                                "when".into(),
                                "start".into(),
                                "done".into(),
                            ]
                        },
                    },
                );
            }
        }
        let kind = if is_never {
            MeasureKind::Never {
                what: fields.needed_text("never"),
                instead: fields.needed_text("instead"),
                rules_out: fields.words("rules-out"),
            }
        } else {
            let modes = &Start::WORDS[..Start::WORDS.len() - 1];
            MeasureKind::Do {
                what: fields.needed_text("do"),
                who: fields.needed_text("who"),
                when: fields.needed_text("when"),
                start: fields
                    .needed_word("start", Urgency::WORDS)
                    .map_or(Urgency::Later, |at| Urgency::ALL[at]),
                done: fields.needed_text("done"),
                only_from: fields.word("only-from", modes).map(|at| Start::ALL[at]),
                starts_when: fields.text("starts-when"),
                comes_before: fields.words("comes-before"),
                covers: fields.words("covers"),
            }
        };
        // A never-measure may name what it forbids; what it offers instead may not.
        let kind_words: &[&str] = if is_never {
            &["instead"]
        } else {
            &["title", "do", "why", "who", "when", "done", "starts-when"]
        };
        self.kind_words(&fields, kind_words);
        let whom = fields.needed_word("for", keys::MEASURE_FOR);
        let control = fields.needed_word("control", Control::WORDS);
        let step = fields.needed_word("step", HumaneStep::WORDS);
        Some(Measure {
            id,
            title: fields.needed_text("title"),
            kind,
            why: fields.needed_text("why"),
            for_person: whom == Some(1),
            control: control.map_or(Control::Gear, |at| Control::ALL[at]),
            step: step.map_or(HumaneStep::Consequence, |at| HumaneStep::ALL[at]),
            layer: self.layer,
            source: check::sources(&fields, self.tables),
            place: self.place(),
        })
    }
}
