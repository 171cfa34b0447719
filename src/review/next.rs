//! Where the next session of one list starts, how far it goes, and why.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::facts::Facts;
use crate::language::Truth;
use crate::rulebook::{After, Begin, Cap, LogBook, NextRule, Tell, Work};

use super::history::History;

/// Most steps one session climbs: it starts one below the best calm step and may take one new step. Common practice, no source.
const MOST_RISE: usize = 2;

/// One rule that spoke.
#[derive(Debug, Clone)]
pub struct Spoke {
    /// Its place in the log book.
    pub rule: usize,
    /// What it says to the household.
    pub tell: String,
    /// Whether it is known to hold, or counts until something is told.
    pub known: bool,
    /// Whether a graver rule says enough of the same thing, so that the household need not hear this one.
    pub covered: bool,
    /// The step it lets the session start at, from 1.
    pub begin: Option<usize>,
    /// The step it lets the session go to, from 1.
    pub cap: Option<usize>,
}

/// The next session of one list.
#[derive(Debug, Clone)]
pub struct Next {
    /// What may be done.
    pub work: Work,
    /// The number of the step it starts at.
    pub begin: usize,
    /// The number of the hardest step it may try.
    pub cap: usize,
    /// Whether a new list of steps comes first.
    pub new_list: bool,
    /// Whether it is a third shorter.
    pub shorter: bool,
    /// When it may be.
    pub after: After,
    /// The first day on which it may be; `None` while someone has to agree first.
    pub not_before: Option<Date>,
    /// When the consultant hears of it.
    pub tell: Tell,
    /// What is looked at, by place in the log book, in order.
    pub checks: Vec<usize>,
    /// The same in the order of the rules that ask for it, the tightest first: what to look at when there is time for few.
    pub checks_first: Vec<usize>,
    /// The rules that spoke, those that hold the start or the work first.
    pub spoke: Vec<Spoke>,
}

/// The step a word for the start means, from 1.
fn begin_step(history: &History<'_>, begin: Begin) -> usize {
    let ladder = &history.ladder;
    let first = history.first_start();
    let last = history.last().filter(|it| it.known);
    let start = last.map_or(first, |it| it.start);
    match begin {
        Begin::SameStart => start,
        Begin::OneLower => ladder.back(start - 1, 1) + 1,
        Begin::TwoLower => ladder.back(start - 1, 2) + 1,
        Begin::LastFloor => history.floor().map_or(first, |floor| floor.step),
        Begin::FirstStep | Begin::NewList => first,
    }
}

/// The step a word for the end means, from 1; `None` for where it starts.
fn cap_step(history: &History<'_>, cap: Cap) -> Option<usize> {
    let last = history.last().filter(|it| it.known)?;
    match cap {
        Cap::OneNewStep => Some(last.best + 1),
        Cap::BestCalm => Some(last.best),
        // However good an earlier session was, the last one counts.
        Cap::LastGreen => Some(history.last_green().unwrap_or(1).min(last.best)),
        Cap::TheStart => None,
    }
}

/// The easiest of some steps, and no nearer to the bird than any of them: a step further back may be nearer, since some steps
/// go a move away again.
fn easiest(history: &History<'_>, steps: &[usize]) -> usize {
    let away = |step: usize| {
        history
            .ladder
            .steps
            .get(step.wrapping_sub(1))
            .and_then(|it| it.conditions.distance_cm)
            .unwrap_or(f64::INFINITY)
    };
    let farthest = steps.iter().map(|step| away(*step)).fold(0.0, f64::max);
    let mut step = steps.iter().copied().min().unwrap_or(1).max(1);
    while step > 1 && away(step) < farthest {
        step -= 1;
    }
    step
}

/// Judges one list.
#[must_use]
pub fn next(book: &LogBook, history: &History<'_>, facts: &Facts, today: Date) -> Next {
    let last = history.last().filter(|it| it.known);
    // With no rule speaking: one below the best calm step, and one new step. A list without sessions starts at its own start.
    let loosest = last.map_or_else(
        || history.first_start(),
        |it| {
            // Not even the first step was calm: its list starts anew.
            it.best.saturating_sub(1).max(1)
        },
    );
    let mut begins = vec![loosest];
    let mut caps = Vec::new();
    let mut next = Next {
        work: Work::Steps,
        begin: 1,
        cap: 1,
        new_list: false,
        shorter: false,
        after: After::AnyDay,
        not_before: None,
        tell: Tell::NoNeed,
        checks: Vec::new(),
        checks_first: Vec::new(),
        spoke: Vec::new(),
    };
    for (at, rule) in book.rules.iter().enumerate() {
        let truth = rule.truth(facts);
        if truth == Truth::False {
            continue;
        }
        let then = &rule.then;
        let begin = then.begin.map(|begin| begin_step(history, begin));
        let cap = then.cap.map(|cap| cap_step(history, cap));
        begins.extend(begin);
        caps.extend(cap);
        next.new_list |= then.begin == Some(Begin::NewList);
        next.shorter |= then.shorter;
        next.work = next.work.max(then.work.unwrap_or(Work::Steps));
        next.after = next.after.max(then.after.unwrap_or(After::AnyDay));
        next.tell = next.tell.max(then.tell.unwrap_or(Tell::NoNeed));
        next.checks.extend(
            then.check
                .iter()
                .filter_map(|id| book.checks.iter().position(|check| check.id == *id)),
        );
        next.spoke.push(Spoke {
            rule: at,
            tell: rule.tell.clone(),
            known: truth == Truth::True,
            covered: false,
            begin,
            cap: cap.map(|cap| cap.unwrap_or(0)),
        });
    }
    next.begin = easiest(history, &begins);
    let one_new = last.map_or(next.begin, |it| it.best + 1);
    let cap = caps
        .iter()
        .map(|cap| cap.unwrap_or(next.begin))
        .fold(one_new, usize::min);
    let steps = history.ladder.steps.len();
    next.cap = cap
        .min(next.begin + MOST_RISE)
        .clamp(next.begin, steps.max(next.begin));
    // A list that is to be replaced is not worked any more.
    if next.new_list {
        next.work = next.work.max(Work::Easy);
    }
    for spoke in &mut next.spoke {
        // "Where it starts" is known only now.
        if spoke.cap == Some(0) {
            spoke.cap = Some(next.begin);
        }
    }
    let tomorrow = today.checked_add(1.day()).unwrap_or(today);
    next.not_before = match next.after {
        // Whatever keeps the steps away today may be gone tomorrow.
        After::AnyDay if next.work == Work::Steps => Some(today),
        After::AnyDay => Some(tomorrow),
        After::NextDay => {
            let rested = last.is_none_or(|it| it.session.date < today) && next.work == Work::Steps;
            Some(if rested { today } else { tomorrow })
        }
        After::Call | After::Restart => None,
    };
    next.checks.sort_unstable();
    next.checks.dedup();
    let weight = |spoke: &Spoke| weight(&book.rules[spoke.rule]);
    next.spoke
        .sort_by(|a, b| weight(b).cmp(&weight(a)).then(a.rule.cmp(&b.rule)));
    // What a graver rule says of the same thing is enough.
    let covered: Vec<String> = next
        .spoke
        .iter()
        .flat_map(|it| book.rules[it.rule].covers.iter().cloned())
        .collect();
    for spoke in &mut next.spoke {
        spoke.covered = covered.contains(&book.rules[spoke.rule].id);
    }
    for spoke in next.spoke.iter().filter(|it| !it.covered) {
        for id in &book.rules[spoke.rule].then.check {
            let at = book.checks.iter().position(|check| check.id == *id);
            next.checks_first
                .extend(at.filter(|at| !next.checks_first.contains(at)));
        }
    }
    next
}

/// How tight a rule is, for the order in which rules are told: work, then when, then the call, then the start, then the end.
fn weight(rule: &NextRule) -> [usize; 5] {
    let then = &rule.then;
    [
        then.work.map_or(0, Work::steps),
        then.after.map_or(0, After::steps),
        then.tell.map_or(0, Tell::steps),
        then.begin.map_or(0, |begin| begin.steps() + 1),
        then.cap.map_or(0, |cap| cap.steps() + 1),
    ]
}
