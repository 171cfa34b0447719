//! The sessions of one list of steps, each put on the list that is in use now.

use jiff::civil::Date;

use crate::ladder::Ladder;
use crate::log::{Change, ChangeKind, Log, Session, Worst};
use crate::training::{Condition, StepList, mark};

/// Good sessions in a row that make a floor (practice handbook).
pub const GOOD_FOR_A_FLOOR: usize = 3;

/// A session on the list in use: numbers of its steps there, from 1.
#[derive(Debug, Clone)]
pub struct Placed<'a> {
    /// The session.
    pub session: &'a Session,
    /// Where it started.
    pub start: usize,
    /// The hardest step that was tried.
    pub top: usize,
    /// The hardest calm step; 0 for none.
    pub best: usize,
    /// False when its sheet, or its numbers, are not those of this list: then they say nothing here.
    pub known: bool,
    /// True when its sheet is that of the list before a step was put in between.
    pub older_sheet: bool,
}

/// The list as it was from a day on.
#[derive(Debug, Clone)]
struct Version {
    /// The day from which on it was used; `None` from the start.
    from: Option<Date>,
    /// Its mark.
    mark: String,
    /// How many steps it had.
    steps: usize,
    /// The number that the new step took, where this version has one more than the one before.
    put_in: Option<usize>,
}

/// The list in use with all its sessions since it was measured, oldest first.
#[derive(Debug, Clone)]
pub struct History<'a> {
    /// The list with every step that was put in between.
    pub ladder: Ladder,
    /// Its mark.
    pub mark: String,
    /// The sessions.
    pub sessions: Vec<Placed<'a>>,
    /// The day from which on they count: that of the newest measuring again.
    pub since: Option<Date>,
    /// The day on which the newest step was put in between.
    pub newest_split: Option<Date>,
    /// Changes that asked for a step in between where none fits.
    pub no_split: Vec<&'a Change>,
}

/// The floor: the hardest step that was calm in three good sessions in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Floor {
    /// Its number.
    pub step: usize,
    /// The place, among the sessions, of the one that reached it.
    pub at: usize,
}

impl<'a> History<'a> {
    /// The history of a list that has steps.
    #[must_use]
    pub fn of(list: &StepList, log: &'a Log) -> Option<Self> {
        let base = list.ladder()?;
        let concerns =
            |change: &Change| change.person.as_ref().is_none_or(|name| *name == list.name);
        let since = log
            .changes
            .iter()
            .filter(|change| change.kind == ChangeKind::MeasuredAgain && concerns(change))
            .map(|change| change.date)
            .max();
        let mut ladder = base.clone();
        let mut versions = vec![Version {
            from: since,
            mark: mark(&ladder),
            steps: ladder.steps.len(),
            put_in: None,
        }];
        let mut no_split = Vec::new();
        for change in &log.changes {
            let split = change.kind == ChangeKind::StepSplit
                && change.person.as_ref() == Some(&list.name)
                && !list.later
                && since.is_none_or(|since| change.date >= since);
            let (true, Some(step)) = (split, change.step) else {
                continue;
            };
            match ladder.split(step) {
                Ok(with) => {
                    ladder = with;
                    versions.push(Version {
                        from: Some(change.date),
                        mark: mark(&ladder),
                        steps: ladder.steps.len(),
                        put_in: usize::try_from(step).ok(),
                    });
                }
                Err(_) => no_split.push(change),
            }
        }
        let sessions = log
            .sessions
            .iter()
            .filter(|session| since.is_none_or(|since| session.date >= since))
            .filter(|session| belongs(session, list))
            .map(|session| place(session, &versions))
            .collect();
        Some(Self {
            mark: mark(&ladder),
            ladder,
            sessions,
            newest_split: versions
                .get(1..)
                .and_then(<[_]>::last)
                .and_then(|it| it.from),
            since,
            no_split,
        })
    }

    /// The newest session.
    #[must_use]
    pub fn last(&self) -> Option<&Placed<'a>> {
        self.sessions.last()
    }

    /// The session before the newest.
    #[must_use]
    pub fn before(&self) -> Option<&Placed<'a>> {
        self.sessions.iter().rev().nth(1)
    }

    /// The floor, where one was reached.
    #[must_use]
    pub fn floor(&self) -> Option<Floor> {
        let mut floor: Option<Floor> = None;
        for (at, three) in self.sessions.windows(GOOD_FOR_A_FLOOR).enumerate() {
            if !three.iter().all(|it| it.known && it.session.is_good()) {
                continue;
            }
            let step = three.iter().map(|it| it.best).min().unwrap_or(0);
            if step > floor.map_or(0, |floor| floor.step) {
                floor = Some(Floor {
                    step,
                    at: at + GOOD_FOR_A_FLOOR - 1,
                });
            }
        }
        floor
    }

    /// How many of the newest sessions in a row were good.
    #[must_use]
    pub fn good_run(&self) -> usize {
        self.sessions
            .iter()
            .rev()
            .take_while(|it| it.known && it.session.is_good())
            .count()
    }

    /// The hardest step that was calm in the newest session without an amber sign, a threat or a red one.
    #[must_use]
    pub fn last_green(&self) -> Option<usize> {
        self.sessions
            .iter()
            .rev()
            .find(|it| it.known && it.session.worst() == Worst::Calm)
            .map(|it| it.best)
    }

    /// The number of the step work starts with, when there is nothing to go by.
    #[must_use]
    pub fn first_start(&self) -> usize {
        self.ladder.start + 1
    }
}

/// Whether a session was worked with a list. Where it was not told whether the person the bird seeks was there, they are taken
/// to have been.
#[must_use]
pub(super) fn belongs(session: &Session, list: &StepList) -> bool {
    session.person == list.name
        && session.stage == list.stage
        && match list.condition {
            Condition::NobodySought => true,
            Condition::FavouredThere => session.favoured_there != Some(false),
            Condition::FavouredElsewhere => session.favoured_there == Some(false),
        }
}

fn place<'a>(session: &'a Session, versions: &[Version]) -> Placed<'a> {
    let used = match &session.sheet {
        Some(sheet) => versions
            .iter()
            .rposition(|it| it.mark.eq_ignore_ascii_case(sheet.trim())),
        // A step put in between counts from its day on: read so, a number means the easier of the two steps it can mean.
        None => versions
            .iter()
            .rposition(|it| it.from.is_none_or(|from| session.date >= from)),
    };
    // Every step that was put in since moves the numbers from its place on up by one.
    let number = |number: u32| -> Option<usize> {
        let used = used?;
        let told = usize::try_from(number).ok()?;
        let steps = versions.get(used)?.steps;
        let later = versions.get(used + 1..).unwrap_or_default();
        (1..=steps).contains(&told).then(|| {
            later
                .iter()
                .filter_map(|version| version.put_in)
                .fold(told, |now, put_in| now + usize::from(now >= put_in))
        })
    };
    let best = if session.best == 0 {
        Some(0)
    } else {
        number(session.best)
    };
    let older_sheet = session.sheet.is_some() && used.is_some_and(|used| used + 1 < versions.len());
    match (number(session.start), number(session.top), best) {
        (Some(start), Some(top), Some(best)) => Placed {
            session,
            start,
            top,
            best,
            known: true,
            older_sheet,
        },
        _ => Placed {
            session,
            start: 1,
            top: 1,
            best: 0,
            known: false,
            older_sheet: false,
        },
    }
}
