//! The figures of the case as the papers print them: inputs, values, and how they are told. No sentence is made here.

use serde::Serialize;
use serde_json::{Value as Json, json};

use crate::answers::Given;
use crate::decision::Decision;
use crate::facts::case::{Case, range};
use crate::facts::workings::{
    EARLIER_DAYS, How, Kind, LATER_DAYS, SizeFrom, Use, WeightFigures, Workings,
    asks_about_tetanus, eye_height,
};
use crate::facts::{Items, Value, show};
use crate::figures::enclosure::wings::least_wingspan_cm;
use crate::figures::enclosure::{Cage, Class, Need, NotCovered, Verdict, assess};
use crate::figures::energy::{Order, basal_kcal_a_day, maintenance_range_kcal_a_day};
use crate::figures::floor_plan::{Rect, clear_ways};
use crate::figures::food::{piece_kcal, repetitions_paid_for, reward_budget_kcal, session_pieces};
use crate::figures::psittacosis::WINDOWS;
use crate::figures::reach::{BODY_WIDTH_CM, MARGIN_CM};
use crate::figures::size::percent_of_published;
use crate::figures::span::Span;
use crate::figures::trend::Reading;
use crate::figures::weight::{Alarm, Slip, alarm};
use crate::intake::Intake;
use crate::language::FactRef;
use crate::regions::STANDARDS;
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
        workings: &decision.facts.workings,
    };
    rulebook
        .figures
        .iter()
        .map(|text| sheet.figure(text))
        .collect()
}

/// What follows from the kind alone, before anything is known of the bird: floors for one bird and for two, energy, bar gaps and the
/// wingspan.
#[must_use]
pub fn of_kind(kind: &Kind) -> Json {
    let floors: Vec<Json> = STANDARDS
        .iter()
        .map(|(word, standard)| {
            let need_of = |birds| {
                let cage = Cage {
                    length_cm: None,
                    width_cm: None,
                    height_cm: None,
                    birds: Some(birds),
                    outdoors: Some(false),
                };
                assess(*standard, kind.bird.as_ref()?, &cage)
                    .ok()?
                    .need_least
            };
            json!({
                "standard": word,
                "one_bird": need_of(1).map(need),
                "two_birds": need_of(2).map(need),
            })
        })
        .collect();
    let maintenance = kind
        .table_g
        .and_then(|table| maintenance_range_kcal_a_day(table).ok());
    json!({
        "floors": floors,
        "maintenance_kcal": span(maintenance),
        "rewards_kcal": span(maintenance.map(reward_budget_kcal)),
        "widest_gap_mm": kind.bars.map(|group| group.widest_gap_mm()),
        "narrowest_gap_mm": kind.bars.and_then(|group| group.narrowest_gap_mm()),
        "least_bar_mm": kind.bars.and_then(|group| group.least_bar_mm()),
        "wingspan_over_cm": kind.folded_wing_mm.and_then(|wing| least_wingspan_cm(wing.low).ok()),
        "plausible_g": span(kind.plausible_g()),
    })
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

    fn kind(&self) -> Json {
        let kind = &self.workings.kind;
        let species = &self.case.vocabulary.tables.species;
        let companions: Vec<_> = kind
            .names
            .iter()
            .filter_map(|key| species.companion(key))
            .collect();
        let mut flags: Vec<&str> = companions
            .iter()
            .flat_map(|companion| &companion.mass_flags)
            .map(|flag| flag.word())
            .collect();
        flags.sort_unstable();
        flags.dedup();
        json!({
            "how": match kind.how {
                How::NotTold => "not-told",
                How::One => "one",
                How::OutsideTable => "outside-table",
                How::Several => "several",
                How::Cross => "cross",
                How::NotFound => "not-found",
            },
            "names": if companions.is_empty() {
                kind.names.clone()
            } else {
                companions.iter().map(|companion| companion.common_name.clone()).collect()
            },
            "told_g": kind.told_g,
            "told_cm": kind.told_cm,
            "table_g": span(kind.table_g),
            "table_cm": span(kind.table_cm),
            "folded_wing_mm": span(kind.folded_wing_mm),
            "plausible_g": span(kind.plausible_g()),
            "share": span(kind.told_g.zip(kind.table_g).and_then(|(grams, table)| percent_of_published(grams, table).ok())),
            "flags": flags,
            "size": kind.size.map(|(least, most)| json!({"low": size_word(least), "high": size_word(most)})),
            "size_from": match kind.size_from {
                SizeFrom::Weight => "weight",
                SizeFrom::Told => "told",
                SizeFrom::Kind => "kind",
                SizeFrom::Nothing => "nothing",
            },
        })
    }

    fn cage(&self) -> Json {
        let cage = &self.workings.cage;
        let regions = &self.case.vocabulary.tables.regions.all;
        let kind = &self.workings.kind;
        let mut standards: Vec<Json> = cage
            .standards
            .iter()
            .map(|(standard, found)| {
                let word = STANDARDS
                    .iter()
                    .find(|(_, other)| other == standard)
                    .map_or("", |(word, _)| *word);
                let (verdict, why, short) = match found.map(|found| found.verdict) {
                    None => ("not-known", "kind", Json::Null),
                    Some(Verdict::NotKnown) => ("not-known", "blank", Json::Null),
                    Some(Verdict::Met) => ("met", "", Json::Null),
                    Some(Verdict::NotCovered(NotCovered::Excluded)) => ("not-covered", "excluded", Json::Null),
                    Some(Verdict::NotCovered(NotCovered::NoFigure)) => ("not-covered", "no-figure", Json::Null),
                    Some(Verdict::NotCovered(NotCovered::BeyondTable)) => ("not-covered", "beyond-table", Json::Null),
                    Some(Verdict::Short(short)) => (
                        "short",
                        "",
                        json!({
                            "length_cm": short.length_cm, "width_cm": short.width_cm, "height_cm": short.height_cm,
                            "area_m2": short.area_m2, "volume_m3": short.volume_m3,
                        }),
                    ),
                };
                json!({
                    "standard": word,
                    "local": self.workings.local.contains(standard),
                    "verdict": verdict,
                    "why": why,
                    "class": found.and_then(|found| found.class).map(class),
                    "least": found.and_then(|found| found.need_least).map(need),
                    "most": found.and_then(|found| found.need_most).map(need),
                    "short": short,
                })
            })
            .collect();
        // The figures of the place come first.
        standards.sort_by_key(|standard| standard["local"] != json!(true));
        json!({
            "regions": cage.regions.iter().map(|at| regions[*at].title.clone()).collect::<Vec<_>>(),
            "notes": cage.regions.iter().filter_map(|at| regions[*at].note.clone()).collect::<Vec<_>>(),
            "length_cm": cage.cage.length_cm,
            "width_cm": cage.cage.width_cm,
            "height_cm": cage.cage.height_cm,
            "birds": cage.cage.birds,
            "bird_cm": span(kind.bird.map(|bird| bird.length_cm)),
            "bird_cm_told": kind.told_cm.is_some(),
            "standards": standards,
            "stands_low": cage.stands_low(),
            "stands_at_cm": cage.stands_at_cm,
        })
    }

    fn wings(&self) -> Json {
        let cage = &self.workings.cage;
        json!({
            "by_law": cage.wings_by_law,
            "fit": cage.wings_fit,
            "told": self.case.yes(self.case.vocabulary.slots.cage_wings_open),
            "wingspan_told_cm": self.workings.kind.told_wingspan_cm,
            "wingspan_at_least_cm": cage.wingspan_cm.map(|span| span.low),
        })
    }

    fn bars(&self) -> Json {
        let cage = &self.workings.cage;
        let group = self.workings.kind.bars;
        json!({
            "gap_mm": cage.gap_mm,
            "wide": cage.gap_wide,
            "narrow": cage.gap_narrow,
            "widest_mm": group.map(|group| group.widest_gap_mm()),
            "narrowest_mm": group.and_then(|group| group.narrowest_gap_mm()),
            "least_bar_mm": group.and_then(|group| group.least_bar_mm()),
        })
    }

    fn energy(&self) -> Json {
        let food = &self.workings.food;
        let basal = food.body_g.and_then(|body| {
            Some(Span::between(
                basal_kcal_a_day(body.low, Order::NonPasserine).ok()?,
                basal_kcal_a_day(body.high, Order::NonPasserine).ok()?,
            ))
        });
        json!({
            "body_g": span(food.body_g),
            "own_weight": food.own_weight,
            "basal_kcal": span(basal),
            "maintenance_kcal": span(food.maintenance_kcal),
        })
    }

    fn rewards(&self) -> Json {
        let food = &self.workings.food;
        let pieces = food.pieces();
        let foods: Vec<Json> = pieces
            .iter()
            .map(|(food, least, most)| {
                json!({
                    "food": food.key.replace('-', " "),
                    "kcal_per_100_g": food.kcal_per_100_g,
                    "piece_g": food.piece_g,
                    "piece_kcal": piece_kcal(food),
                    "least": least,
                    "most": most,
                })
            })
            .collect();
        let most = food.most_pieces();
        let until_bored = food
            .pieces_to_loss_of_interest
            .map(|pieces| pieces.round().max(0.0) as u32);
        json!({
            "budget_kcal": span(food.budget_kcal),
            "foods": foods,
            "no_piece": food.foods.iter().filter(|food| food.piece_g.is_none()).map(|food| food.key.replace('-', " ")).collect::<Vec<_>>(),
            "no_food_told": food.no_food_told,
            "other_food": food.other_food,
            "treats_a_day": food.treats_a_day,
            "share": span(food.treat_share()),
            "piece_too_large": food.piece_too_large(),
            "repetitions": most.and_then(|pieces| repetitions_paid_for(pieces, 1)).map(|(least, most)| json!({"low": least, "high": most})),
            "in_a_session": most.map(|(least, _)| session_pieces(least, 2, until_bored)),
            "losing_weight": matches!(&self.workings.weight, WeightFigures::Compared { change, .. } if alarm(change.fall_percent) >= Alarm::Concern),
        })
    }

    fn weight(&self) -> Json {
        let WeightFigures::Compared { series, change } = &self.workings.weight else {
            return json!({ "state": if self.workings.weight == WeightFigures::TooFew { "too-few" } else { "not-known" } });
        };
        json!({
            "state": "compared",
            "weighings": series.len(),
            "from_g": change.from_g,
            "to_g": change.to_g,
            "fall_percent": change.fall_percent,
            "days": change.days,
            "odd_g": change.odd.iter().filter_map(|at| series.get(*at)).map(|(_, grams)| grams).collect::<Vec<_>>(),
            "newest_is_odd": change.newest_is_odd,
            "slip": change.slip.map(|slip| match slip {
                Slip::TenTimes => "ten-times",
                Slip::Thousand => "thousand",
                Slip::OunceForGram => "ounce-for-gram",
                Slip::PoundForGram => "pound-for-gram",
            }),
            "alarm": match alarm(change.fall_percent) {
                Alarm::None => "none",
                Alarm::Watch => "watch",
                Alarm::Concern => "concern",
                Alarm::Urgent => "urgent",
            },
        })
    }

    fn reach(&self) -> Json {
        let Some(reach) = &self.workings.reach else {
            return Json::Null;
        };
        json!({
            "at_bars_cm": span(Some(reach.at_bars_cm)),
            "at_bars_measured": reach.measured_at_bars_cm.is_some(),
            "from_perch_cm": span(Some(reach.from_perch_cm)),
            "from_perch_measured": reach.measured_from_perch_cm.is_some(),
            "line_at_bars_cm": span(Some(reach.line_at_bars_cm)),
            "line_from_perch_cm": span(Some(reach.line_from_perch_cm)),
            "margin_cm": MARGIN_CM,
            "body_cm": BODY_WIDTH_CM,
            "path_cm": reach.path_cm,
            "path_clear": reach.path_clear(),
            "room_to_walk": reach.room_to_walk(),
            "flies": self.case.once(self.case.vocabulary.slots.bird_flight).is_none_or(|value| {
                !matches!(value, Value::Choice(2))
            }),
        })
    }

    fn faces(&self) -> Json {
        let slots = &self.case.vocabulary.slots;
        let people = self.case.entries(slots.person_age).map_or(0, <[_]>::len);
        let faces: Vec<Json> = (0..people)
            .map(|item| {
                let measured = self.case.number_of(slots.person_eye_height, item);
                let eyes = eye_height(measured, self.case.of(slots.person_age, item).and_then(range));
                json!({
                    "person": item + 1,
                    "eyes_cm": span(eyes),
                    "measured": measured.is_some(),
                    "level": self.workings.reach.as_ref().and_then(|reach| reach.face_is_level(eyes)),
                })
            })
            .collect();
        json!({
            "perch_cm": self.workings.reach.as_ref().and_then(|reach| reach.perch_height_cm),
            "faces": faces,
        })
    }

    fn room(&self) -> Json {
        let room = &self.workings.room;
        let drawn = room.drawn();
        let ways = drawn.and_then(|(width_cm, depth_cm, cage)| {
            let walls = Rect {
                left_cm: 0.0,
                back_cm: 0.0,
                width_cm,
                depth_cm,
            };
            clear_ways(&cage, &walls).ok()
        });
        let spots: Vec<Json> = room
            .spots
            .iter()
            .flatten()
            .enumerate()
            .map(|(at, spot)| {
                json!({
                    "number": at + 1,
                    "kind": spot.kind,
                    "label": spot.label,
                    "distance_cm": spot.distance_cm,
                    "inside": spot.inside,
                    "counts": matches!(spot.usage, Some(Use::Stays | Use::Passes)),
                    // What stands on the floor leaves this much for people between itself and the safe line.
                    "way_left_cm": spot.distance_cm.zip(self.workings.reach.as_ref()).filter(|_| spot.usage == Some(Use::Thing) || spot.kind == "seat").map(|(distance, reach)| distance - reach.line_at_bars_cm.high),
                })
            })
            .collect();
        json!({
            "drawn": drawn.is_some(),
            "ways": ways.map(|ways| json!({"left_cm": ways.left_cm, "right_cm": ways.right_cm, "back_cm": ways.back_cm, "front_cm": ways.front_cm})),
            "told": room.spots.is_some(),
            "spots": spots,
            "seats_inside": room.inside(Use::Stays).map(|(least, most)| json!({"low": least, "high": most})),
            "paths_inside": room.inside(Use::Passes).map(|(least, most)| json!({"low": least, "high": most})),
            "body_cm": BODY_WIDTH_CM,
        })
    }

    fn record(&self) -> Json {
        let Some(record) = &self.workings.record else {
            return json!({ "known": false });
        };
        let change = &record.change;
        json!({
            "known": true,
            "later": record.later,
            "later_days": LATER_DAYS,
            "earlier": record.earlier,
            "earlier_days": EARLIER_DAYS,
            "ratio": change.ratio,
            "ratio_low": change.ratio_95.low,
            // JSON holds no infinity.
            "ratio_high": Some(change.ratio_95.high).filter(|high| high.is_finite()),
            "p": change.p_two_sided,
            "total": change.total,
            "reading": match record.reading {
                Reading::TooFew => "too-few",
                Reading::Rising => "rising",
                Reading::Falling => "falling",
                Reading::NoClearChange => "no-clear-change",
            },
            "kept": record.kept,
        })
    }

    fn wounds(&self) -> Json {
        let vocabulary = self.case.vocabulary;
        let slots = &vocabulary.slots;
        let (advised, for_person) = (
            vocabulary.find("bites.care-advised"),
            vocabulary.find("bites.care-advised-for-person"),
        );
        let care = |at: Option<FactRef>, bite: usize| {
            Some(show(vocabulary.fact(at?), self.case.of(at, bite)?))
        };
        let bites = self.case.entries(slots.bite_injury).map_or(0, <[_]>::len);
        let bites: Vec<Json> = (0..bites)
            .map(|bite| {
                json!({
                    "bite": bite + 1,
                    "care": care(advised, bite),
                    "care_for_person": care(for_person, bite),
                    "tetanus": asks_about_tetanus(&self.case, bite, crate::facts::derive::person_of(&self.case, bite)),
                })
            })
            .collect();
        json!({ "bites": bites })
    }

    fn illness(&self) -> Json {
        let slots = &self.case.vocabulary.slots;
        let days = self.case.number(slots.ill_after_days);
        let windows: Vec<Json> = WINDOWS
            .iter()
            .map(|window| {
                json!({
                    "body": window.body,
                    "low": window.days.low,
                    "high": window.days.high,
                    "holds": days.map(|days| window.days.holds(days)),
                })
            })
            .collect();
        json!({
            "ill": self.case.yes(slots.ill_people),
            "days": days,
            "fits": self.workings.illness_fits,
            "windows": windows,
        })
    }
}

fn span(span: Option<Span>) -> Json {
    span.map_or(
        Json::Null,
        |span| json!({"low": span.low, "high": span.high}),
    )
}

fn need(need: Need) -> Json {
    json!({
        "length_cm": need.length_cm, "width_cm": need.width_cm, "height_cm": need.height_cm,
        "area_m2": need.area_m2, "volume_m3": need.volume_m3,
    })
}

fn class(class: Class) -> Json {
    match class {
        Class::Lengths { over_cm, up_to_cm } => json!({"over_cm": over_cm, "up_to_cm": up_to_cm}),
        Class::Budgerigar => json!("budgerigar"),
        Class::Cockatiel => json!("cockatiel"),
        Class::LargeParrot => json!("large parrot"),
    }
}

fn size_word(size: crate::figures::size::SizeClass) -> &'static str {
    use crate::figures::size::SizeClass;
    match size {
        SizeClass::Small => "small",
        SizeClass::Medium => "medium",
        SizeClass::Large => "large",
    }
}
