//! The top of a form: when it came, who sent it, and how they are reached.

use jiff::civil::Date;
use perchside::questionnaire::{Identifies, Questionnaire};
use perchside::tree::Node;

use super::form::Form;
use super::pool::{Pool, text};
use super::random::Random;
use super::sound::Sound;
use super::{days, made_up};

/// How many first messages in a thousand do not say whether someone is hurt.
const HURT_UNTOLD: usize = 250;

/// Fills the top of forms.
#[derive(Debug)]
pub(crate) struct Heading<'h> {
    questionnaire: &'h Questionnaire,
    day: Date,
    received: Option<(usize, usize)>,
    hurt_now: Option<(usize, usize)>,
    reference: Option<(usize, usize)>,
    contact: Option<(usize, usize)>,
    /// True where the moment of a message may have a time.
    timed: bool,
}

impl<'h> Heading<'h> {
    /// Finds the questions: by name, or by what they tell.
    pub(crate) fn new(questionnaire: &'h Questionnaire, day: Date, sound: &Sound<'_>) -> Self {
        let telling = |what: Identifies| {
            let groups = questionnaire.groups.iter().enumerate();
            groups
                .filter(|(_, about)| about.repeats.is_none())
                .find_map(|(group, about)| {
                    let question = about
                        .questions
                        .iter()
                        .position(|it| it.identifies == Some(what))?;
                    Some((group, question))
                })
        };
        let mut heading = Self {
            questionnaire,
            day,
            received: questionnaire.find("case.received"),
            hurt_now: questionnaire.find("case.hurt-now"),
            reference: telling(Identifies::Code),
            contact: telling(Identifies::Contact),
            timed: false,
        };
        if let Some(at) = heading.received {
            let mut form = Form::blank(questionnaire);
            form.set_once(at, Some(text(format!("{day} 08:30"))));
            heading.timed = sound.settle(&mut form);
        }
        heading
    }

    /// Moves what has happened before the day, and for a first message before the day on which it came.
    pub(crate) fn dated(
        &self,
        form: &mut Form<'_>,
        told_on: Date,
        is_enquiry: bool,
        random: &mut Random,
    ) {
        let day = self.day;
        let newest = days::newest(form, self.questionnaire, self.received);
        let mut shift = days::between(told_on, day) - random.between(0, 45) as i32;
        let received = days::plus(day, -(random.below(11).min(random.below(11)) as i32));
        if let Some(newest) = newest
            && is_enquiry
        {
            shift -= days::between(received, days::plus(newest, shift)).max(0);
        }
        days::moved(form, self.questionnaire, shift, day, random);
        if let Some(at) = self.received {
            let told = random
                .chance(960)
                .then(|| text(self.moment(received, random)));
            form.set_once(at, told);
        }
    }

    /// The moment at which a message came, as precisely as the form takes it.
    fn moment(&self, day: Date, random: &mut Random) -> String {
        if !self.timed || random.chance(200) {
            return day.to_string();
        }
        // Of today nobody knows how late it is, so it came early.
        let last = if day == self.day { 8 } else { 23 };
        let (hour, minute) = (random.between(6, last), random.below(60));
        match random.below(10) {
            0..6 => format!("{day} {hour:02}:{minute:02}"),
            6 | 7 => format!("{day}T{hour:02}:{minute:02}:{:02}", random.below(60)),
            8 => format!("{day}T{hour:02}:{minute:02}:{:02}Z", random.below(60)),
            _ => format!("{day}T{hour:02}:{minute:02}:{:02}+01:00", random.below(60)),
        }
    }

    /// Who writes, and whether someone is hurt.
    pub(crate) fn filled<'p>(
        &self,
        form: &mut Form<'p>,
        at: u64,
        is_enquiry: bool,
        pool: &Pool<'p>,
        random: &mut Random,
    ) {
        if let Some(place) = self.reference {
            let told = !is_enquiry && random.chance(960);
            form.set_once(place, told.then(|| text(made_up::reference(at, random))));
        }
        if let Some(place) = self.contact {
            form.set_once(
                place,
                random
                    .chance(930)
                    .then(|| text(made_up::contact(at, random))),
            );
        }
        if let Some(place) = self.hurt_now
            && is_enquiry
        {
            if random.chance(HURT_UNTOLD) {
                form.set_once(place, None);
            } else if form.once(place).is_none() {
                let question = &self.questionnaire.groups[place.0].questions[place.1];
                form.set_once(place, Some(pool.fitting(place, question, self.day, random)));
            }
        }
    }

    /// The top of a second message: the same contact in another spelling, the same day or a later one, and a code of its own.
    pub(crate) fn again(
        &self,
        form: &mut Form<'_>,
        first: &Form<'_>,
        at: u64,
        random: &mut Random,
    ) {
        let told = |place: Option<(usize, usize)>| match first.once(place?)? {
            Node::Text(told) => Some(told.clone().into_owned()),
            _ => None,
        };
        if let Some(place) = self.contact {
            form.set_once(
                place,
                told(self.contact).map(|it| text(made_up::again(&it, random))),
            );
        }
        if let Some(place) = self.received {
            form.set_once(
                place,
                told(self.received).map(|it| text(self.later(&it, random))),
            );
        }
        if let Some(place) = self.reference {
            form.set_once(
                place,
                told(self.reference).map(|_| text(made_up::reference(at, random))),
            );
        }
    }

    /// A day from the one that was told up to today.
    fn later(&self, told: &str, random: &mut Random) -> String {
        let first = told
            .get(..10)
            .and_then(|day| day.parse().ok())
            .unwrap_or(self.day);
        let days = usize::try_from(days::between(first, self.day)).unwrap_or(0);
        self.moment(days::plus(first, random.between(0, days) as i32), random)
    }
}
