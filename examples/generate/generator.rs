//! Makes the form of a number: a home varied, dated and named, or a second message of one that has written before.

use jiff::civil::Date;
use perchside::questionnaire::Questionnaire;
use perchside::rulebook::Rulebook;
use perchside::tree::Node;

use super::first_message;
use super::form::Form;
use super::heading::Heading;
use super::homes::{Home, Homes};
use super::pool::Pool;
use super::random::Random;
use super::sound::Sound;
use super::spoil::{self, Fault};
use super::vary::{Much, Vary};
use super::write;

/// How many forms in a thousand are a second message of a home that has written before.
const TWINS: usize = 30;
/// How far back the home of a second message is looked for.
const FAR_BACK: u64 = 40;
/// How often a form is tried before its home is taken nearly as it is.
const TRIES: usize = 8;
/// How many bytes the top of a form may take, which is filled last.
const HEADING: usize = 140;
/// How many answers a form has that others of its length can be made from.
const FULL: usize = 80;

/// What is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Sort {
    /// First messages.
    Enquiry,
    /// Full forms.
    Intake,
    /// Two first messages for each full form, about.
    Mixed,
}

/// What was asked for.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Order {
    /// The seed of everything.
    pub(crate) seed: u64,
    /// What is made.
    pub(crate) sort: Sort,
    /// How many forms in a thousand have a fault.
    pub(crate) broken: usize,
    /// The day that the forms are made for; nothing in them has happened after it.
    pub(crate) day: Date,
}

/// A form that was made.
#[derive(Debug)]
pub(crate) struct Made<'h> {
    /// The form, without its fault.
    pub(crate) form: Form<'h>,
    /// What is wrong with it.
    pub(crate) fault: Option<Fault>,
    /// The form of the same home that came before, by its number.
    pub(crate) twin_of: Option<u64>,
    /// True for a first message.
    pub(crate) is_enquiry: bool,
    random: Random,
}

/// Makes forms.
#[derive(Debug)]
pub(crate) struct Generator<'h> {
    rulebook: &'h Rulebook,
    homes: Vec<Home<'h>>,
    /// The homes that told enough for a full form.
    full: Vec<usize>,
    pool: Pool<'h>,
    order: Order,
    heading: Heading<'h>,
    sound: Sound<'h>,
}

impl<'h> Generator<'h> {
    /// A generator over some homes.
    pub(crate) fn new(
        rulebook: &'h Rulebook,
        homes: &'h Homes,
        order: Order,
    ) -> Result<Self, String> {
        let questionnaire = &rulebook.questionnaire;
        let homes = homes.read(questionnaire)?;
        let full: Vec<usize> = (0..homes.len())
            .filter(|at| homes[*at].form.places().len() >= FULL)
            .collect();
        if full.is_empty() {
            return Err("there is no full form to make others from".to_owned());
        }
        let sound = Sound::new(rulebook, order.day);
        Ok(Self {
            pool: Pool::of(questionnaire, &homes),
            heading: Heading::new(questionnaire, order.day, &sound),
            sound,
            rulebook,
            homes,
            full,
            order,
        })
    }

    fn questionnaire(&self) -> &'h Questionnaire {
        &self.rulebook.questionnaire
    }

    /// The form of a number.
    pub(crate) fn form(&self, at: u64) -> Made<'h> {
        let mut random = self.random(at, 1);
        let fault = random
            .chance(self.order.broken)
            .then(|| random.pick(&Fault::ALL).copied())
            .flatten();
        let origin = self.origin(at);
        let is_enquiry = self.is_enquiry(origin);
        let mut form = self.home(origin, is_enquiry);
        if origin != at {
            form = self.second(&form, at, is_enquiry);
        }
        Made {
            form,
            fault,
            twin_of: (origin != at).then_some(origin),
            is_enquiry,
            random,
        }
    }

    /// The tree of a form as it is written: whole, or with its fault.
    pub(crate) fn tree(&self, made: &mut Made<'h>, alone: bool, table: bool) -> Node<'h> {
        made.fault = made.fault.map(|fault| fault.within(alone, table));
        match made.fault {
            Some(fault) => spoil::tree(&made.form, self.questionnaire(), fault, &mut made.random),
            None => made.form.tree(self.questionnaire()),
        }
    }

    /// The text of a form. `alone` for one that nothing else hangs on: a document, a file or a line of its own.
    pub(crate) fn text(&self, made: &mut Made<'h>, as_json: bool, alone: bool) -> String {
        let tree = self.tree(made, alone, false);
        spoil::written(&tree, made.fault, as_json, &mut made.random)
    }

    fn random(&self, at: u64, purpose: u64) -> Random {
        Random::of(self.order.seed, at, purpose)
    }

    /// The number of the first form of the same home.
    fn origin(&self, at: u64) -> u64 {
        let mut random = self.random(at, 2);
        if at == 0 || !random.chance(TWINS) {
            return at;
        }
        let back = usize::try_from(at.min(FAR_BACK)).unwrap_or(1);
        self.origin(at - 1 - random.below(back) as u64)
    }

    fn is_enquiry(&self, at: u64) -> bool {
        match self.order.sort {
            Sort::Enquiry => true,
            Sort::Intake => false,
            Sort::Mixed => self.random(at, 3).chance(667),
        }
    }

    /// A home's first form.
    fn home(&self, at: u64, is_enquiry: bool) -> Form<'h> {
        let mut random = self.random(at, 4);
        let (least, most) = if is_enquiry {
            first_message::ENQUIRY
        } else {
            let (least, most) = first_message::INTAKE;
            (least, random.between(least + 2 * HEADING, most))
        };
        let blank = random.between(20, if is_enquiry { 400 } else { 120 });
        for attempt in 0.. {
            // The more often it did not come out right, the nearer it stays to the home.
            let left = TRIES.saturating_sub(attempt);
            let base = self.base(is_enquiry, &mut random);
            let much = Much {
                blank: blank * left / TRIES,
                unknown: 15,
                changed: 120 * left / TRIES,
                blocks: 300 * left / TRIES,
            };
            let mut form = base.form.clone();
            self.vary(base.day, &mut random).form(&mut form, much);
            if is_enquiry {
                first_message::keep(&mut form, self.questionnaire());
            }
            first_message::shorten(&mut form, self.questionnaire(), most - HEADING, &mut random);
            self.heading
                .dated(&mut form, base.day, is_enquiry, &mut random);
            self.heading
                .filled(&mut form, at, is_enquiry, &self.pool, &mut random);
            let fits = self.sound.settle(&mut form);
            let length = write::yaml(&form.tree(self.questionnaire())).len();
            if (fits && (least..=most).contains(&length)) || attempt > 4 * TRIES {
                return form;
            }
        }
        Form { groups: Vec::new() }
    }

    fn base(&self, is_enquiry: bool, random: &mut Random) -> &Home<'h> {
        let at = if is_enquiry {
            random.below(self.homes.len())
        } else {
            self.full[random.below(self.full.len())]
        };
        &self.homes[at]
    }

    /// What a home writes the second time: a little less, and a little else.
    fn second(&self, first: &Form<'h>, at: u64, is_enquiry: bool) -> Form<'h> {
        let mut random = self.random(at, 5);
        let mut form = first.clone();
        let much = Much {
            blank: 100,
            unknown: 10,
            changed: 30,
            blocks: 0,
        };
        self.vary(self.order.day, &mut random)
            .answers(&mut form, much);
        if is_enquiry {
            first_message::keep(&mut form, self.questionnaire());
        }
        self.heading.again(&mut form, first, at, &mut random);
        if self.sound.settle(&mut form) {
            return form;
        }
        let mut form = first.clone();
        self.heading.again(&mut form, first, at, &mut random);
        form
    }

    fn vary<'v>(&'v self, day: Date, random: &'v mut Random) -> Vary<'v, 'h> {
        Vary {
            questionnaire: self.questionnaire(),
            pool: &self.pool,
            day,
            random,
        }
    }
}
