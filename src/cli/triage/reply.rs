//! `perchside triage --reply ID`: holding advice and what to say for one enquiry.

use std::io;

use serde_json::json;

use crate::answers::Given;
use crate::decision::decide;
use crate::fingerprint;
use crate::house::House;
use crate::inbox::{Inbox, Item};
use crate::intake::{Checked, Intake};
use crate::papers::Paper;
use crate::papers::engine::Engine;
use crate::papers::triage::{Format, told};
use crate::plan::{Options, Plan};
use crate::triage::{Assessed, Board, Desk};
use crate::wording::OWN;
use crate::words::folded;

use super::super::output::Outcome;
use super::super::{Io, speaking, told_language};

/// The enquiries that answer to an id, with all of them ranked: by reference, or by place.
pub(super) struct Wanted {
    pub(super) board: Board,
    pub(super) items: Vec<Item>,
}

/// Goes through an inbox and keeps what answers to an id.
pub(super) fn find(desk: &Desk<'_>, inbox: &mut Inbox<'_>, id: &str) -> Wanted {
    let wanted_id = folded(id);
    let mut wanted = Wanted {
        board: Board::default(),
        items: Vec::new(),
    };
    for item in inbox {
        let assessed = desk.assess(&item);
        let (reference, place) = match &assessed {
            Assessed::Line(line) => (line.reference.as_deref(), line.place()),
            Assessed::ByHand(one) => (one.reference.as_deref(), one.place()),
            Assessed::PassedOver(_) => continue,
        };
        if place == id || reference.map(folded).as_deref() == Some(&wanted_id) {
            wanted.items.push(item);
        }
        wanted.board.take(assessed);
    }
    wanted.board.rank();
    wanted
}

/// Writes the reply to the one enquiry that is wanted.
pub(super) fn write(
    desk: &Desk<'_>,
    wanted: &Wanted,
    id: &str,
    (house, engine): (&House, &Engine),
    format: Format,
    io: &mut Io<'_>,
) -> io::Result<Outcome> {
    let [item] = wanted.items.as_slice() else {
        if wanted.items.is_empty() {
            writeln!(
                io.err,
                "error: no enquiry is called `{id}`; use a reference, or a file with its line, as the list has them"
            )?;
        } else {
            writeln!(
                io.err,
                "error: several enquiries are called `{id}`; name one by its place:"
            )?;
            for item in &wanted.items {
                writeln!(io.err, "  {}", item.place())?;
            }
        }
        return Ok(Outcome::InputErrors);
    };
    let rulebook = desk.rulebook();
    let Some(intake) = intake(desk, item) else {
        writeln!(
            io.err,
            "error: nothing of `{id}` could be read; open {} and call without it",
            item.place()
        )?;
        return Ok(Outcome::InputErrors);
    };
    let decision = decide(rulebook, &intake.answers, desk.briefing.today);
    let options = Options::default();
    let plan = Plan::of(rulebook, &intake, &decision, options);
    let place = item.place();
    let row = (0..wanted.board.lines.len())
        .find(|at| wanted.board.lines[*at].place() == place)
        .map(|at| desk.row_of(&wanted.board, at));
    let by_hand = wanted.board.by_hand.iter().find(|one| one.place() == place);
    let mut context = json!({
        "row": row,
        "told": row.as_ref().map(told),
        "mistakes": by_hand.map(|one| &one.faults),
        "plan": plan,
        "deadline": deadline(desk, &intake),
    });
    if row.is_none() {
        // What could not be read counts as not answered, and may be what has to be asked.
        context["row"] = json!({ "id": id, "ask-first": desk.asks(&intake.answers) });
    }
    let failed = |error: crate::papers::engine::PaperError| io::Error::other(error);
    let mut paper = Paper::reply(engine, &context).map_err(failed)?;
    // What the household gets is in its own language, where there is one.
    let language = told_language(house, rulebook, &intake, io)?;
    let holding = if language == engine.tongue.id {
        Paper::of(engine, &plan, "holding-rules").map_err(failed)?
    } else {
        let Some(voiced) = speaking(house, &language, io)? else {
            return Ok(Outcome::InputErrors);
        };
        let has = voiced.rulebook.tongue.has_paper("holding-rules");
        let Some(voiced) = (if has {
            Some(voiced)
        } else {
            speaking(house, OWN, io)?
        }) else {
            return Ok(Outcome::InputErrors);
        };
        let decision = decide(&voiced.rulebook, &intake.answers, desk.briefing.today);
        let plan = Plan::of(&voiced.rulebook, &intake, &decision, options);
        Paper::of(&Engine::speaking(house, &voiced), &plan, "holding-rules").map_err(failed)?
    };
    paper.append(holding);
    let text = match format {
        Format::Html => paper.html(engine, &plan).map_err(failed)?,
        _ => paper.markdown(),
    };
    io.out.write_all(text.as_bytes())?;
    Ok(if by_hand.is_some() {
        Outcome::InputErrors
    } else {
        Outcome::Done
    })
}

/// What can be read of an enquiry, as a form.
fn intake(desk: &Desk<'_>, item: &Item) -> Option<Intake> {
    let source = item.text.as_ref().ok()?;
    let rulebook = desk.rulebook();
    item.read(source, |root, places| {
        let checked = Checked::read(
            &rulebook.questionnaire,
            &rulebook.vocabulary,
            source,
            root,
            places,
            desk.briefing.today,
        );
        Intake {
            answers: checked.answers,
            places: places(),
            fingerprint: fingerprint::of(source.text.as_bytes()),
            case_file_fingerprint: None,
            source: source.clone(),
        }
    })
    .ok()
}

/// The date that presses, by its word.
fn deadline(desk: &Desk<'_>, intake: &Intake) -> Option<String> {
    let (group, question) = desk.rulebook().questionnaire.find("case.deadline")?;
    let about = &desk.rulebook().questionnaire.groups[group].questions[question];
    match intake.answers.given(group, None, question)? {
        Given::Choice(at) => about.choices.get(usize::from(*at)).map(|c| c.id.clone()),
        _ => None,
    }
}
