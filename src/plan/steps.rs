//! One list of steps in words, or why there is none.

use serde::Serialize;

use crate::ladder::{Conditions, Ladder, Variable};
use crate::review::{Review, Reviewed};
use crate::rulebook::{After, Rulebook};
use crate::training::{Condition, StepList, mark, shown_cm};

use super::cards::Card;
use super::training::Teller;

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

impl Teller<'_> {
    pub(super) fn reviewed(&self, list: &StepList) -> Option<&Reviewed> {
        self.review.and_then(|review| review.find(list))
    }

    pub(super) fn list(&self, list: &StepList) -> ListWords {
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

    pub(super) fn without_steps(&self, list: &StepList) -> ListWords {
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
                rulebook.sayings.say("on-card", "person", &letter)
            })
        })
}
