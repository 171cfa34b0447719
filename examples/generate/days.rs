//! Dates, moved with the day of the form.

use jiff::ToSpan;
use jiff::civil::Date;
use perchside::dates::{PartialDate, days_between};
use perchside::questionnaire::{Kind, Questionnaire};
use perchside::tree::Node;

use super::form::Form;
use super::pool::text;
use super::random::Random;

/// Moves everything that has happened by the same number of days, so that what came first stays first. What lies ahead is put anew.
pub(crate) fn moved(
    form: &mut Form<'_>,
    questionnaire: &Questionnaire,
    days: i32,
    day: Date,
    random: &mut Random,
) {
    form.each_mut(|group, question, node| {
        let question = &questionnaire.groups[group].questions[question];
        let Some(date) = date_of(question.kind, node) else {
            return;
        };
        *node = if question.future {
            text(plus(day, random.between(1, 90) as i32).to_string())
        } else {
            text(shown(date, days))
        };
    });
}

/// The newest day that the form tells of, apart from what lies ahead.
pub(crate) fn newest(
    form: &Form<'_>,
    questionnaire: &Questionnaire,
    apart_from: Option<(usize, usize)>,
) -> Option<Date> {
    let mut newest = None;
    for at in form.places() {
        let question = form.blocks(at.group)[at.block][at.place].0;
        if Some((at.group, question)) == apart_from {
            continue;
        }
        if let Some((question, node)) = form.at(questionnaire, at)
            && !question.future
            && let Some(date) = date_of(question.kind, node)
        {
            newest = newest.max(Some(date.first));
        }
    }
    newest
}

/// How many days one day lies after another.
pub(crate) fn between(from: Date, to: Date) -> i32 {
    days_between(from, to)
}

/// So many days later.
pub(crate) fn plus(day: Date, days: i32) -> Date {
    day.checked_add(days.days()).unwrap_or(day)
}

fn date_of(kind: Kind, node: &Node<'_>) -> Option<PartialDate> {
    if kind == Kind::Date {
        PartialDate::read(&node.scalar()?)
    } else {
        None
    }
}

/// Part of a date stays part of one: the month or the year that its middle moves into.
fn shown(date: PartialDate, days: i32) -> String {
    if date.first == date.last {
        return plus(date.first, days).to_string();
    }
    let middle = plus(date.first, days_between(date.first, date.last) / 2 + days);
    if date.first.month() == date.last.month() {
        format!("{:04}-{:02}", middle.year(), middle.month())
    } else {
        format!("{:04}", middle.year())
    }
}
