//! Practice in words: the lists of steps, the session, the week and the day of the visit.

use serde::Serialize;

use crate::decision::Decision;
use crate::facts::case::Case;
use crate::intake::Intake;
use crate::ladder::{Conditions, Ladder, Variable};
use crate::review::{Review, Reviewed};
use crate::rulebook::{After, Rulebook, filled};
use crate::training::{
    CHANCES, Condition, Dose, Limit, REST_MINUTES, StepList, WHOLE_WEEK, Work, lists, mark,
    shown_cm, stage_of, tries_missing, work,
};

use super::cards::Card;
use super::reading::ReadingPart;

/// Longest rest between two tries that is told, minutes. Common practice, no source.
const LONGEST_REST_MINUTES: u32 = 3;

/// A range of whole numbers.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct Range {
    /// From.
    pub low: u32,
    /// To.
    pub high: u32,
}

/// Something to teach first.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Skill {
    /// What.
    pub tell: String,
    /// How.
    pub set_up: String,
    /// `no`, or `not known`.
    pub known: &'static str,
}

/// One step in words.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct StepWords {
    /// Its number.
    pub number: u32,
    /// The title of the one thing that changed; `None` for the first.
    pub changed: Option<String>,
    /// The one thing that changed.
    pub tell: String,
    /// Everything that is the case, a sentence each.
    pub whole: Vec<String>,
    /// How the one thing is set up.
    pub set_up: String,
    /// What earns the treat.
    pub earns: String,
    /// How far off the person is, cm, rounded up; `None` out of sight.
    pub distance_cm: Option<u32>,
    /// Whether any part of the person can be seen.
    pub in_sight: bool,
    /// The one thing in a few words.
    pub short: String,
}

/// One list in words.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct ListWords {
    /// Its id, fit for a file name.
    pub id: String,
    /// Whose it is.
    pub person: String,
    /// Whether the person the bird seeks is in the room.
    pub favoured_present: bool,
    /// Whether there is such a person.
    pub favoured_known: bool,
    /// How work is set up.
    pub stage: &'static str,
    /// Its mark; empty without steps.
    pub mark: String,
    /// Why there are no steps.
    pub cannot: Option<String>,
    /// What is taught first.
    pub prerequisites: Vec<Skill>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// The line nobody crosses in practice, cm, rounded up.
    pub safe_line_cm: Option<u32>,
    /// What that line rests on, and that it is not the line of the household plan where it is another.
    pub line_tell: String,
    /// The number of the step the list starts at.
    pub start: usize,
    /// Where the next session starts.
    pub begin: usize,
    /// How far the next session may go.
    pub cap: usize,
    /// Whether both come from a log.
    pub from_log: bool,
    /// The first day on which the next session may be, where a log says that it is not today.
    pub not_before: Option<String>,
    /// Why, by the rules of the next step.
    pub because: Vec<String>,
    /// What all its steps have in common.
    pub begins_with: Vec<String>,
    /// The steps.
    pub steps: Vec<StepWords>,
    /// A text alternative of its picture.
    pub about: String,
}

/// The three bands of signs.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Bands {
    /// Go on.
    pub green: Vec<String>,
    /// Wait.
    pub amber: Vec<String>,
    /// Stop.
    pub red: Vec<String>,
    /// Signs this bird gave before a bite.
    pub own_signs: Vec<String>,
}

/// A session in numbers and words.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct SessionWords {
    /// Tries at most.
    pub tries: u32,
    /// Calm tries in a row that a step asks for, on each of two days.
    pub run: u32,
    /// Length, minutes.
    pub minutes: Range,
    /// Rest between two tries, minutes.
    pub rest_minutes: Range,
    /// Sessions a day.
    pub a_day: u32,
    /// Most sessions a day.
    pub most_a_day: u32,
    /// Days a week.
    pub days_a_week: u32,
    /// Treats that fit in a day, where a food was told.
    pub day_pieces: Option<u32>,
    /// What sets these numbers.
    pub why: Vec<String>,
}

/// A line of the week at home.
#[derive(Debug, Clone, Serialize)]
pub struct WeekLine {
    /// The day.
    pub day: String,
    /// Who works.
    pub who: String,
    /// Minutes.
    pub minutes: u32,
    /// Which list.
    pub list: String,
}

/// A line of the day of the visit.
#[derive(Debug, Clone, Serialize)]
pub struct DayLine {
    /// From, hours and minutes after the start.
    pub from: String,
    /// To.
    pub to: String,
    /// What people do.
    pub people: String,
    /// What the bird does.
    pub bird: String,
    /// What comes of it.
    pub output: String,
    /// Whether it is a session.
    pub session: bool,
}

/// What to do when the day of the visit goes another way.
#[derive(Debug, Clone, Serialize)]
pub struct Bend {
    /// After what.
    #[serde(rename = "if")]
    pub after: String,
    /// What then.
    pub then: String,
}

/// Expected work at one chance of calm.
#[derive(Debug, Clone, Copy, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct WorkLine {
    /// The chance of calm in one try, on the first step.
    pub calm: f64,
    /// The chance on the last step; the same where it does not change.
    pub calm_last: f64,
    /// Tries.
    pub tries: f64,
    /// Tries with a threat or worse.
    pub aggressive: f64,
    /// Sessions.
    pub sessions: f64,
    /// Sessions by which half of such lists are done.
    pub half_by: Option<u32>,
    /// Sessions by which nine in ten are done.
    pub nine_in_ten_by: Option<u32>,
}

impl From<&Work> for WorkLine {
    fn from(work: &Work) -> Self {
        Self {
            calm: work.chance.first,
            calm_last: work.chance.last,
            tries: work.tries,
            aggressive: work.aggressive,
            sessions: work.sessions,
            half_by: work.half_by,
            nine_in_ten_by: work.nine_in_ten_by,
        }
    }
}

/// Practice.
#[derive(Debug, Clone, Serialize)]
#[serde(rename_all = "kebab-case")]
pub struct Training {
    /// True when nothing may be practised now.
    pub held: bool,
    /// The lists of steps, the one to begin with first for each person.
    pub lists: Vec<ListWords>,
    /// Lists that come after another of the same person, in a line each.
    pub later: Vec<ListWords>,
    /// What is said of lists that come later.
    pub later_tell: String,
    /// Signs.
    pub bands: Bands,
    /// When a step is passed.
    pub pass: Vec<String>,
    /// When to stay.
    pub hold: Vec<String>,
    /// When to go back.
    pub drop: Vec<String>,
    /// What happens between two tries.
    pub between: Vec<String>,
    /// The session.
    pub session: SessionWords,
    /// What is looked at before a session.
    pub before: Vec<String>,
    /// A week at home.
    pub week: Vec<WeekLine>,
    /// The day of the visit.
    pub day: Vec<DayLine>,
    /// How that day bends.
    pub day_bends: Vec<Bend>,
    /// What calm earns, with cautions.
    pub procedures: Vec<String>,
    /// Expected work of the longest list.
    pub work: Vec<WorkLine>,
    /// What that takes for granted.
    pub work_assumes: String,
    /// Why it can not be done in sessions this short.
    pub work_cannot: Option<String>,
    /// What the log changed, when there is one.
    pub since_last: Vec<String>,
}

/// What the practice of a case is told from.
pub(super) struct Teller<'a> {
    pub(super) rulebook: &'a Rulebook,
    pub(super) intake: &'a Intake,
    pub(super) decision: &'a Decision,
    pub(super) cards: &'a [Card],
    pub(super) reading: &'a ReadingPart,
    pub(super) review: Option<&'a Review>,
    pub(super) held: bool,
    pub(super) without_work: bool,
}

impl Teller<'_> {
    fn case(&self) -> Case<'_> {
        Case {
            vocabulary: &self.rulebook.vocabulary,
            answers: &self.intake.answers,
            groups: &self.decision.facts.groups,
        }
    }

    fn say(&self, part: &str, key: &str, numbers: &[(&str, String)]) -> String {
        filled(self.rulebook.sayings.tell(part, key), numbers)
    }

    /// All of it.
    pub(super) fn training(&self, since_last: Vec<String>) -> Training {
        let case = self.case();
        let stage = stage_of(self.decision.verdict.start.until_answered).filter(|_| !self.held);
        let all = stage.map_or_else(Vec::new, |stage| lists(&case, self.decision, stage));
        let people: Vec<usize> = all
            .iter()
            .filter(|list| list.steps.is_ok())
            .map(|list| list.person)
            .collect();
        let dose = Dose::of(&case, self.decision, &people);
        let (later, now): (Vec<&StepList>, Vec<&StepList>) = all.iter().partition(|list| {
            // A list that was begun is one of today's.
            list.later && self.reviewed(list).is_none_or(|it| it.sessions == 0)
        });
        let not_now = self.no_time(&all, &dose);
        let list = |it: &&StepList| match &not_now {
            Some(why) if it.steps.is_ok() => ListWords {
                cannot: Some(why.clone()),
                ..self.without_steps(it)
            },
            _ => self.list(it),
        };
        let lists: Vec<ListWords> = now.iter().map(list).collect();
        let longest = lists
            .iter()
            .filter(|list| list.cannot.is_none())
            .map(|list| list.steps.len() + 1 - list.start)
            .max();
        let worked = longest
            .filter(|_| !self.without_work)
            .and_then(|steps| work(steps, dose.run, dose.tries, &CHANCES).ok());
        let sayings = &self.rulebook.sayings;
        Training {
            held: self.held,
            week: self.week(&now, &lists, &dose),
            later: later.iter().map(list).collect(),
            later_tell: self.say("later-list", "other-condition", &[]),
            bands: Bands {
                green: sayings.tells("green"),
                amber: sayings.tells("amber"),
                red: sayings.tells("red"),
                own_signs: self.own_signs(),
            },
            pass: sayings.tells("pass"),
            hold: sayings.tells("hold"),
            drop: sayings.tells("drop"),
            between: sayings.tells("between-repetitions"),
            session: self.session(&dose),
            before: sayings.tells("before"),
            day: self.day(),
            day_bends: sayings
                .part("visit-bends")
                .iter()
                .map(|(key, saying)| Bend {
                    after: key.replace('-', " "),
                    then: saying.tell.clone(),
                })
                .collect(),
            procedures: self.procedures(),
            work: worked.iter().flatten().map(WorkLine::from).collect(),
            work_assumes: self.say("assumed-chance", "equal", &[]),
            work_cannot: not_now.clone(),
            lists,
            since_last,
        }
    }

    /// Why there is no practice for now though there are steps: sessions too short for any step to pass, or no day for one.
    fn no_time(&self, all: &[StepList], dose: &Dose) -> Option<String> {
        if dose.days_a_week == 0 {
            return Some(self.say("work-cannot", "no-days", &[]));
        }
        let longest = all
            .iter()
            .filter_map(|list| list.ladder())
            .map(|ladder| ladder.steps.len() - ladder.start)
            .max()?;
        let least = tries_missing(longest, dose.run, dose.tries)?;
        let numbers = [
            (
                "tries",
                if dose.tries == 1 {
                    "1 try".to_owned()
                } else {
                    format!("{} tries", dose.tries)
                },
            ),
            ("least", least.to_string()),
        ];
        Some(self.say("work-cannot", "no-room", &numbers))
    }

    fn reviewed(&self, list: &StepList) -> Option<&Reviewed> {
        self.review.and_then(|review| review.find(list))
    }

    fn list(&self, list: &StepList) -> ListWords {
        let reviewed = self.reviewed(list);
        let ladder = reviewed.map(|it| &it.ladder).or(list.ladder());
        let Some(ladder) = ladder else {
            let (part, key) = list.steps.as_ref().err().map_or(("", ""), |why| why.key());
            return ListWords {
                cannot: Some(self.say(part, key, &[])),
                ..self.without_steps(list)
            };
        };
        // A list that waits for someone's word is not printed: nobody works a step that lies on the table.
        if let Some(waits) = reviewed.and_then(|it| self.waits(it)) {
            return ListWords {
                cannot: Some(waits),
                because: reviewed.map_or_else(Vec::new, Self::because),
                from_log: true,
                ..self.without_steps(list)
            };
        }
        let start = ladder.start + 1;
        let (begin, cap) = reviewed.map_or((start, start), |it| (it.next.begin, it.next.cap));
        let worked = reviewed.filter(|it| it.sessions > 0);
        ListWords {
            about: self.about(ladder, begin, cap, list.safe_line_cm.map(shown_cm)),
            steps: self.steps(ladder, list),
            begins_with: self.begins_with(ladder, list),
            prerequisites: ladder
                .prerequisites
                .iter()
                .map(|missing| {
                    let saying = self
                        .rulebook
                        .sayings
                        .get("prerequisites", missing.skill.key());
                    Skill {
                        tell: saying.map_or_else(String::new, |it| it.tell.clone()),
                        set_up: saying.map_or_else(String::new, |it| it.set_up.clone()),
                        known: if missing.answer == Some(false) {
                            "no"
                        } else {
                            "not known"
                        },
                    }
                })
                .collect(),
            assumptions: ladder
                .assumptions
                .iter()
                .map(|it| self.say("assumptions", it.key(), &[]))
                .collect(),
            mark: mark(ladder),
            from_log: worked.is_some(),
            not_before: self.review.and_then(|review| {
                let day = worked?.next.not_before?;
                (day > review.today).then(|| day.to_string())
            }),
            because: worked.map_or_else(Vec::new, Self::because),
            start,
            begin,
            cap,
            ..self.without_steps(list)
        }
    }

    fn line_tell(&self, list: &StepList) -> String {
        let home = self.decision.workings.reach.as_ref();
        let numbers = [
            ("line", list.safe_line_cm.map(shown_cm)),
            ("home", home.map(|it| shown_cm(it.line_at_bars_cm.high))),
        ]
        .map(|(key, cm)| (key, cm.map_or_else(String::new, |cm| cm.to_string())));
        self.say("line", list.line_from.key(), &numbers)
    }

    fn without_steps(&self, list: &StepList) -> ListWords {
        ListWords {
            id: list_id(list),
            person: whose(self.rulebook, self.cards, list.person),
            favoured_present: list.condition.favoured_present(),
            favoured_known: list.condition != Condition::NobodySought,
            stage: list.stage.key(),
            mark: String::new(),
            cannot: None,
            prerequisites: Vec::new(),
            assumptions: Vec::new(),
            safe_line_cm: list.safe_line_cm.map(shown_cm),
            line_tell: self.line_tell(list),
            start: 1,
            begin: 1,
            cap: 1,
            from_log: false,
            not_before: None,
            because: Vec::new(),
            begins_with: Vec::new(),
            steps: Vec::new(),
            about: String::new(),
        }
    }

    /// What a list waits for, by its log.
    fn waits(&self, reviewed: &Reviewed) -> Option<String> {
        let next = &reviewed.next;
        let key = match next.after {
            After::Restart => "restart",
            _ if next.new_list => "new-list",
            After::Call => "call",
            After::AnyDay | After::NextDay => return None,
        };
        Some(self.say("not-now", key, &[]))
    }

    /// What the rules say to the household, each sentence once.
    fn because(reviewed: &Reviewed) -> Vec<String> {
        let mut said: Vec<String> = Vec::new();
        for tell in Review::tells(reviewed) {
            if !said.contains(&tell) {
                said.push(tell);
            }
        }
        said
    }

    /// The variables that matter for a list: where the bird seeks nobody, nothing is said of that person.
    fn keys(&self, conditions: &Conditions, list: &StepList) -> Vec<(Variable, &'static str)> {
        conditions
            .keys()
            .into_iter()
            .filter(|(variable, _)| {
                *variable != Variable::Favoured || list.condition != Condition::NobodySought
            })
            .collect()
    }

    fn told(&self, variable: Variable, key: &str, conditions: &Conditions) -> String {
        let cm = conditions.distance_cm.map_or(0, shown_cm);
        self.say(variable.key(), key, &[("distance_cm", cm.to_string())])
    }

    fn steps(&self, ladder: &Ladder, list: &StepList) -> Vec<StepWords> {
        ladder
            .steps
            .iter()
            .map(|step| {
                let variable = step.changed.unwrap_or(Variable::View);
                let key = step.conditions.key(variable);
                let saying = self.rulebook.sayings.get(variable.key(), key);
                let distance_cm = step.conditions.distance_cm.map(shown_cm);
                let earns = self.say("earns", step.earns().key(), &[]);
                StepWords {
                    number: step.number,
                    changed: step.changed.map(|it| self.say("titles", it.key(), &[])),
                    tell: self.told(variable, key, &step.conditions),
                    whole: self
                        .keys(&step.conditions, list)
                        .into_iter()
                        .filter(|(variable, _)| {
                            // Out of view there is no distance to keep, and the bars are told once for all steps.
                            *variable != Variable::Barrier
                                && (step.conditions.view.in_sight()
                                    || *variable != Variable::Distance)
                        })
                        .map(|(variable, key)| self.told(variable, key, &step.conditions))
                        .collect(),
                    set_up: saying.map_or_else(String::new, |it| it.set_up.clone()),
                    earns,
                    in_sight: step.conditions.view.in_sight(),
                    short: match (variable, distance_cm) {
                        (Variable::Distance, Some(cm)) => format!("{cm} cm"),
                        _ => saying.map_or_else(String::new, |it| it.short.clone()),
                    },
                    distance_cm,
                }
            })
            .collect()
    }

    /// What is the case in every step, as the first one has it.
    fn begins_with(&self, ladder: &Ladder, list: &StepList) -> Vec<String> {
        let Some(first) = ladder.steps.first() else {
            return Vec::new();
        };
        let mut said = Vec::new();
        for (variable, key) in self.keys(&first.conditions, list) {
            if matches!(variable, Variable::Distance | Variable::View) {
                continue;
            }
            let saying = self.rulebook.sayings.get(variable.key(), key);
            if let Some(saying) = saying {
                said.push(saying.tell.clone());
                said.push(saying.set_up.clone());
            }
        }
        said
    }

    fn about(&self, ladder: &Ladder, begin: usize, cap: usize, line: Option<u32>) -> String {
        let distances: Vec<u32> = ladder
            .steps
            .iter()
            .filter_map(|step| step.conditions.distance_cm.map(shown_cm))
            .collect();
        let steps = ladder.steps.len();
        let numbers = |far: u32, near: u32| {
            [
                ("steps", steps.to_string()),
                ("begin", begin.to_string()),
                ("cap", cap.to_string()),
                ("hidden", (steps - distances.len()).to_string()),
                ("far", far.to_string()),
                ("near", near.to_string()),
                ("line", line.unwrap_or(0).to_string()),
            ]
        };
        match (distances.iter().max(), distances.iter().min()) {
            (Some(far), Some(near)) => self.say("picture", "about", &numbers(*far, *near)),
            _ => self.say("picture", "about-hidden", &numbers(0, 0)),
        }
    }

    /// Signs that any bite told of, each once, in the order of the form.
    fn own_signs(&self) -> Vec<String> {
        let case = self.case();
        let slot = case.vocabulary.slots.bite_warning;
        let bites = case.entries(slot).map_or(0, <[_]>::len);
        let seen: Vec<&str> = (0..bites)
            .filter_map(|bite| case.chosen(slot, case.of(slot, bite)))
            .flatten()
            .collect();
        self.rulebook
            .sayings
            .part("own-signs")
            .iter()
            .filter(|(key, _)| seen.contains(&key.as_str()))
            .map(|(_, saying)| saying.tell.clone())
            .collect()
    }

    fn session(&self, dose: &Dose) -> SessionWords {
        let numbers = [
            ("tries", dose.tries.to_string()),
            ("pieces", dose.pieces_told.unwrap_or(0).to_string()),
            ("day_pieces", dose.day_pieces.unwrap_or(0).to_string()),
            (
                "minutes",
                format!("{}", dose.minutes_told.unwrap_or(0.0).floor()),
            ),
            ("days", dose.days_a_week.to_string()),
        ];
        let mut keys = vec![match dose.limit {
            Limit::PiecesTold => "pieces-told",
            Limit::PiecesNotTold => "pieces-not-told",
            Limit::DayBudget => "day-budget",
            Limit::Time => "time-told",
        }];
        if dose
            .pieces_told
            .is_some_and(|pieces| pieces <= dose.run + 1)
        {
            keys.push("few-pieces");
        }
        if dose.minutes_told.is_none() || dose.days_told.is_none() {
            keys.push("time-not-told");
        }
        keys.push("spaced");
        SessionWords {
            tries: dose.tries,
            run: dose.run,
            minutes: Range {
                low: dose.minutes.0,
                high: dose.minutes.1,
            },
            rest_minutes: Range {
                low: REST_MINUTES as u32,
                high: LONGEST_REST_MINUTES,
            },
            a_day: 1,
            most_a_day: dose.most_a_day(),
            days_a_week: dose.days_a_week,
            day_pieces: dose.day_pieces,
            why: keys
                .into_iter()
                .map(|key| self.say("session", key, &numbers))
                .collect(),
        }
    }

    /// A session on each of so many days, spread over the week; with several people one list a person, a person a day in turn.
    fn week(&self, now: &[&StepList], lists: &[ListWords], dose: &Dose) -> Vec<WeekLine> {
        // Each person works one list: the first of theirs that has steps.
        let mut people: Vec<(usize, &ListWords)> = Vec::new();
        for (list, words) in now.iter().zip(lists) {
            if words.cannot.is_none() && !people.iter().any(|(person, _)| *person == list.person) {
                people.push((list.person, words));
            }
        }
        if people.is_empty() || dose.days_a_week == 0 {
            return Vec::new();
        }
        let people = &people;
        let most = dose.most_a_day() as usize;
        spread(dose.days_a_week)
            .into_iter()
            .enumerate()
            .flat_map(|(nth, day)| {
                people
                    .iter()
                    .enumerate()
                    .filter(move |(at, _)| people_on(*at, nth, people.len(), most))
                    .map(move |(_, (_, words))| WeekLine {
                        day: self.say("days-of-the-week", &day.to_string(), &[]),
                        who: words.person.clone(),
                        minutes: dose.minutes.1,
                        list: words.mark.clone(),
                    })
                    .collect::<Vec<_>>()
            })
            .collect()
    }

    fn day(&self) -> Vec<DayLine> {
        let mut at = 0.0;
        self.rulebook
            .sayings
            .part("visit-day")
            .iter()
            .map(|(_, saying)| {
                let from = at;
                at += saying.minutes;
                DayLine {
                    from: clock(from),
                    to: clock(at),
                    people: saying.people.clone(),
                    bird: saying.bird.clone(),
                    output: saying.output.clone(),
                    session: saying.session,
                }
            })
            .collect()
    }

    /// What the reading of the biting makes of the reward, with the caution of each.
    fn procedures(&self) -> Vec<String> {
        self.reading
            .likely
            .iter()
            .flat_map(|likely| &likely.procedures)
            .map(|it| format!("{}: {} {}", it.title, it.tell, it.not_when))
            .collect()
    }
}

/// Which of several people works on a day, by its place among the days of practice: as many as the day has sessions, in turn.
fn people_on(at: usize, day: usize, people: usize, most: usize) -> bool {
    (0..most.min(people)).any(|turn| at == (day * most + turn) % people)
}

/// So many days of a week, from 0 for Monday, as even as can be.
fn spread(days: u32) -> Vec<u32> {
    let days = days.min(WHOLE_WEEK);
    (0..days).map(|at| at * WHOLE_WEEK / days.max(1)).collect()
}

/// Minutes as hours and minutes.
fn clock(minutes: f64) -> String {
    let whole = minutes.round().max(0.0) as u32;
    format!("{}:{:02}", whole / 60, whole % 60)
}

/// A list's name, fit for a file.
pub(super) fn list_id(list: &StepList) -> String {
    let condition = match list.condition {
        Condition::NobodySought => "",
        Condition::FavouredThere => "-with",
        Condition::FavouredElsewhere => "-without",
    };
    format!("person-{}{condition}", list.person + 1)
}

/// Whose list it is: the name where names may be printed, else the card.
pub(super) fn whose(rulebook: &Rulebook, cards: &[Card], person: usize) -> String {
    cards
        .iter()
        .find(|card| card.person == person)
        .map_or_else(String::new, |card| {
            card.name.clone().unwrap_or_else(|| {
                let letter = [("letter", card.letter.clone())];
                filled(rulebook.sayings.tell("on-card", "person"), &letter)
            })
        })
}
