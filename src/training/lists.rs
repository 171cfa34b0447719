//! A list of steps for each person the bird goes for, with and without the person it seeks.

use crate::decision::Decision;
use crate::facts::Value;
use crate::facts::case::{Case, range};
use crate::figures::floor_plan::Point;
use crate::figures::reach::MARGIN_CM;
use crate::fingerprint;
use crate::ladder::{CannotStart, Ladder, LineFrom, Prerequisites, Setup, Stage, build};
use crate::language::FactRef;
use crate::rulebook::Start;

/// Most steps of one list. Beyond it harder steps are left for later: nobody reads more than two pages of them. Our own choice.
const MOST_STEPS: usize = 60;

/// Age from which someone practises steps, years. Common practice, no source; children have a card of their own.
const ADULT_YEARS: f64 = 18.0;

/// Level from which a skill counts as known: with one person at least.
const SKILL_KNOWN: u8 = 2;

/// Whether the person the bird seeks is there while a list is worked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Condition {
    /// The bird seeks nobody here.
    NobodySought,
    /// That person is there.
    FavouredThere,
    /// That person is elsewhere.
    FavouredElsewhere,
}

impl Condition {
    /// Whether the person the bird seeks is in the room.
    #[must_use]
    pub fn favoured_present(self) -> bool {
        self == Self::FavouredThere
    }
}

/// Why someone has no list of steps.
#[derive(Debug, Clone, PartialEq)]
pub enum NotFor {
    /// Not an adult, or the age is not known.
    Child,
    /// Someone whom a bite could harm more than most, or who may be, without bars.
    NotWithoutBars,
    /// Nobody knows how far the beak reaches.
    ReachNotKnown,
    /// The bird would be out, and nobody measured with it out where it eats calmly.
    CalmOutNotMeasured,
    /// The distances or skills do not allow one.
    CannotStart(CannotStart),
}

impl NotFor {
    /// Part and key of its wording.
    #[must_use]
    pub const fn key(&self) -> (&'static str, &'static str) {
        match self {
            Self::Child => ("not-for", "child"),
            Self::NotWithoutBars => ("not-for", "not-without-bars"),
            Self::ReachNotKnown => ("not-for", "reach-not-known"),
            Self::CalmOutNotMeasured => ("not-for", "calm-out-not-measured"),
            Self::CannotStart(why) => ("cannot-start", why.key()),
        }
    }
}

/// The list of one person and condition.
#[derive(Debug, Clone, PartialEq)]
pub struct StepList {
    /// The person's place in the list of people.
    pub person: usize,
    /// The person's name or code, as the form has it.
    pub name: String,
    /// Whether the person the bird seeks is there.
    pub condition: Condition,
    /// How work is set up.
    pub stage: Stage,
    /// The line nobody crosses in practice, cm; `None` while reach is not known.
    pub safe_line_cm: Option<f64>,
    /// What that line rests on.
    pub line_from: LineFrom,
    /// The steps, or why there are none.
    pub steps: Result<Ladder, NotFor>,
    /// True when another list of the same person comes first.
    pub later: bool,
}

impl StepList {
    /// Its steps, where it has any.
    #[must_use]
    pub fn ladder(&self) -> Option<&Ladder> {
        self.steps.as_ref().ok()
    }
}

/// Four digits that tell one list of steps from another: they stand on its sheet and in the log.
#[must_use]
pub fn mark(ladder: &Ladder) -> String {
    let mut text = String::new();
    for step in &ladder.steps {
        for (variable, key) in step.conditions.keys() {
            text.push_str(variable.key());
            text.push_str(key);
        }
        if let Some(cm) = step.conditions.distance_cm {
            text.push_str(&format!("{}", shown_cm(cm)));
        }
        text.push('\n');
    }
    fingerprint::of(text.as_bytes()).chars().take(4).collect()
}

/// A distance as it is told: whole centimetres, rounded up.
#[must_use]
pub fn shown_cm(cm: f64) -> u32 {
    // A hair above a whole centimetre is that centimetre.
    (cm - 1e-6).ceil().clamp(0.0, f64::from(u32::MAX)) as u32
}

/// The stage at which work may start; `None` while there is none.
#[must_use]
pub fn stage_of(start: Start) -> Option<Stage> {
    match start {
        Start::ThroughBarrier => Some(Stage::ThroughBarrier),
        Start::Stationed => Some(Stage::Stationed),
        Start::OpenRoom => Some(Stage::OpenRoom),
        Start::HandsOff => None,
    }
}

/// The lists of all people the bird goes for, at a stage: first the one to begin with for each person.
#[must_use]
pub fn lists(case: &Case<'_>, decision: &Decision, stage: Stage) -> Vec<StepList> {
    let reader = Reader {
        case,
        decision,
        stage,
    };
    let slots = &case.vocabulary.slots;
    let people = case.entries(slots.person_role).map_or(0, <[_]>::len);
    let role = |item, word| case.choice_of(slots.person_role, item) == Some(word);
    let sought = (0..people).any(|item| role(item, "favoured"));
    let mut out = Vec::new();
    for person in (0..people).filter(|item| role(*item, "reacted-to")) {
        // Someone without a name can not be found again in distances or in a log.
        let Some(name) = case.text_of(slots.person_name, person) else {
            continue;
        };
        let conditions: &[Condition] = if sought {
            &[Condition::FavouredThere, Condition::FavouredElsewhere]
        } else {
            &[Condition::NobodySought]
        };
        let mut lists: Vec<StepList> = conditions
            .iter()
            .map(|condition| reader.list(person, name, *condition))
            .collect();
        // What was measured comes first, then what starts in view, then the person it seeks there.
        lists.sort_by_key(|list| match list.ladder() {
            Some(ladder) => (0, u8::from(ladder.start_cm.is_none()), list.condition),
            None => (1, 0, list.condition),
        });
        for (at, list) in lists.iter_mut().enumerate() {
            list.later = at > 0 && list.steps.is_ok();
        }
        // One reason is enough for a person without steps.
        if lists.iter().all(|list| list.steps.is_err()) {
            lists.truncate(1);
        }
        out.extend(lists);
    }
    out
}

struct Reader<'a> {
    case: &'a Case<'a>,
    decision: &'a Decision,
    stage: Stage,
}

/// What was measured for one person and condition.
#[derive(Default)]
struct Measured {
    first_sign_cm: Vec<f64>,
    calm_eating_cm: Option<f64>,
    strike_cm: Option<f64>,
}

impl Reader<'_> {
    fn list(&self, person: usize, name: &str, condition: Condition) -> StepList {
        let measured = self.measured(name, condition);
        let line = self.line(&measured);
        let safe_line_cm = line.map(|(cm, _)| cm);
        StepList {
            person,
            name: name.to_owned(),
            condition,
            stage: self.stage,
            safe_line_cm,
            line_from: line.map_or(LineFrom::Bars, |(_, from)| from),
            steps: self.steps(person, condition, measured, safe_line_cm),
            later: false,
        }
    }

    fn steps(
        &self,
        person: usize,
        condition: Condition,
        measured: Measured,
        safe_line_cm: Option<f64>,
    ) -> Result<Ladder, NotFor> {
        let slots = &self.case.vocabulary.slots;
        let age = self.case.of(slots.person_age, person).and_then(range);
        if age.is_none_or(|age| age.low < ADULT_YEARS) {
            return Err(NotFor::Child);
        }
        let harmed_by_little = self
            .case
            .chosen(
                slots.person_vulnerable,
                self.case.of(slots.person_vulnerable, person),
            )
            .is_none_or(|words| words.iter().any(|word| *word != "none"));
        if self.stage != Stage::ThroughBarrier && harmed_by_little {
            return Err(NotFor::NotWithoutBars);
        }
        let safe_line_cm = safe_line_cm.ok_or(NotFor::ReachNotKnown)?;
        if self.stage == Stage::OpenRoom && measured.calm_eating_cm.is_none() {
            return Err(NotFor::CalmOutNotMeasured);
        }
        build(&Setup {
            stage: self.stage,
            first_sign_cm: measured.first_sign_cm,
            calm_eating_cm: measured.calm_eating_cm,
            sight_line_cm: self.sight_line_cm(),
            safe_line_cm,
            favoured_present: condition.favoured_present(),
            prerequisites_met: Prerequisites {
                marker: self.skill(slots.skill_marker),
                station: self.skill(slots.skill_station),
                hands_free_return: self.skill(slots.skill_return),
                takes_food_calmly: self.case.yes(slots.takes_calmly),
            },
            most_steps: MOST_STEPS,
        })
        .map_err(NotFor::CannotStart)
    }

    /// Distances measured for a person in a condition, with the bird no freer than at this stage told to be.
    ///
    /// A distance of which the condition or the place of the bird was not told says nothing of either, and is left out: then
    /// work starts out of sight. A distance at which the bird eats calmly counts only when it was taken with a tape or from
    /// film.
    fn measured(&self, name: &str, condition: Condition) -> Measured {
        let slots = &self.case.vocabulary.slots;
        let mut out = Measured::default();
        let count = self
            .case
            .entries(slots.distance_person)
            .map_or(0, <[_]>::len);
        for item in 0..count {
            if self.case.text_of(slots.distance_person, item) != Some(name) {
                continue;
            }
            let number = |slot| self.case.number_of(slot, item);
            // Wherever it struck from, nobody stands nearer.
            if let Some(strike) = number(slots.distance_strike) {
                out.strike_cm = Some(out.strike_cm.map_or(strike, |other: f64| other.max(strike)));
            }
            let near = match self.case.of(slots.distance_favoured, item) {
                Some(Value::YesNo(near)) => Some(*near),
                _ => None,
            };
            let same_condition = match condition {
                Condition::NobodySought => near != Some(true),
                Condition::FavouredThere => near == Some(true),
                Condition::FavouredElsewhere => near == Some(false),
            };
            let place = self.case.choice_of(slots.distance_bird_place, item);
            let as_free = match self.stage {
                // Measured with the bird out, a distance is good enough for a bird behind bars.
                Stage::ThroughBarrier => place.is_some(),
                Stage::Stationed => matches!(place, Some("on the cage" | "out")),
                Stage::OpenRoom => place == Some("out"),
            };
            if !same_condition || !as_free {
                continue;
            }
            out.first_sign_cm.extend(number(slots.distance_first_sign));
            let by_eye = !matches!(
                self.case.of(slots.distance_how, item),
                Some(Value::Level { low: 1.., .. })
            );
            if let Some(calm) = number(slots.distance_calm)
                && !by_eye
            {
                out.calm_eating_cm = Some(
                    out.calm_eating_cm
                        .map_or(calm, |other: f64| other.max(calm)),
                );
            }
        }
        out
    }

    /// The line nobody crosses at this stage, cm, and what it rests on: reach and margin; where the bird went for someone from
    /// farther off, that and the margin; and with the bird out, never nearer than it eats calmly.
    fn line(&self, measured: &Measured) -> Option<(f64, LineFrom)> {
        let reach = self.decision.workings.reach.as_ref()?;
        let (line, from) = match self.stage {
            Stage::ThroughBarrier => (reach.line_at_bars_cm, LineFrom::Bars),
            Stage::Stationed | Stage::OpenRoom => (reach.line_from_perch_cm, LineFrom::Perch),
        };
        let strike = measured
            .strike_cm
            .map(|cm| (cm + MARGIN_CM, LineFrom::Strike));
        let calm = measured
            .calm_eating_cm
            .filter(|_| self.stage == Stage::OpenRoom)
            .map(|cm| (cm, LineFrom::Calm));
        let mut farthest = (line.high, from);
        for (cm, from) in strike.into_iter().chain(calm) {
            if cm > farthest.0 {
                farthest = (cm, from);
            }
        }
        Some(farthest)
    }

    /// The longest line of sight from the cage: to the farthest corner, or, where the cage was not placed, the least that can
    /// be: from the middle of the room to a corner.
    fn sight_line_cm(&self) -> Option<f64> {
        let room = &self.decision.workings.room;
        let (width, depth) = (room.width_cm?, room.depth_cm?);
        let corners = [(0.0, 0.0), (width, 0.0), (0.0, depth), (width, depth)];
        match room.drawn() {
            Some((_, _, cage)) => corners
                .into_iter()
                .filter_map(|(x_cm, y_cm)| {
                    crate::figures::floor_plan::distance_to_rect(Point { x_cm, y_cm }, &cage).ok()
                })
                .reduce(f64::max),
            None => Some(width.hypot(depth) / 2.0),
        }
    }

    fn skill(&self, at: Option<FactRef>) -> Option<bool> {
        match self.case.once(at)? {
            Value::Level { low, high } if *low == *high => Some(*low >= SKILL_KNOWN),
            _ => None,
        }
    }
}
