//! How far off an approach starts, how it comes closer, and how fast a person grows in the bird's eye.
//!
//! All distances in cm, from the bird to the nearest part of the person. No published figure says which step a parrot
//! notices; steps of an equal ratio change the size of what it sees by about an equal share (Weber's rule, shown for
//! other senses and animals).

use super::input::{Unusable, above_zero, within};

/// Least distance the figures take, cm.
pub const LEAST_DISTANCE_CM: f64 = 1.0;

/// Greatest distance that is believed when someone measured it in a home, cm.
pub const MOST_DISTANCE_CM: f64 = 2_000.0;

/// Greatest start of an approach, cm: the greatest distance measured, with the margin for few measures.
pub const MOST_START_CM: f64 = MOST_DISTANCE_CM * FEW_MEASURES_FACTOR;

/// Separate days of measuring from which the scatter of the measures sets the start.
pub const ENOUGH_DAYS: usize = 3;

/// Most measures that are taken together.
pub const MOST_MEASURES: usize = 1_000;

/// Standard deviations of the logarithm by which the start lies beyond the mean. The buffer of wildlife protection,
/// about the 95 % point of the normal distribution, without the 40 m that is added for waterbirds (Rodgers and Smith
/// 1997, Wildlife Society Bulletin).
pub const BUFFER_DEVIATIONS: f64 = 1.6495;

/// What the greatest measure is multiplied by while there are too few. From memory: a rule of thumb for how near people
/// may come to wildlife, with no source.
pub const FEW_MEASURES_FACTOR: f64 = 1.5;

/// Boldest ratio of one distance to the one before: half the way at once. Our own choice.
pub const LEAST_RATIO: f64 = 0.5;

/// Finest ratio of one distance to the one before. Our own choice: below a hundredth nobody paces it out.
pub const MOST_RATIO: f64 = 0.99;

/// Most moves an approach is laid out for.
pub const MOST_MOVES: u32 = 1_000;

/// A number of moves this little above a whole one is that whole one, so that rounding cannot add a move of nothing.
const WHOLE_MOVE: f64 = 1e-9;

/// Least width of what approaches, cm.
pub const LEAST_WIDTH_CM: f64 = 1.0;

/// Greatest width of what approaches, cm.
pub const MOST_WIDTH_CM: f64 = 200.0;

/// Greatest speed of a person indoors, cm per second. Our own choice: a sprint.
pub const MOST_SPEED_CM_PER_S: f64 = 1_000.0;

/// One distance at which the bird first changed its behaviour at a person coming nearer: the first sign, not the lunge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// Day it was measured on, counted from any day.
    pub day: i64,
    /// The distance, cm.
    pub distance_cm: f64,
}

/// What set the start of an approach.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Basis {
    /// The mean and the scatter of measures on [`ENOUGH_DAYS`] separate days or more.
    Scatter,
    /// The greatest measure, with a margin: too few days.
    FewMeasures,
    /// The greatest measure: it lies beyond what the scatter asks for.
    GreatestMeasure,
    /// The distance at which the bird was seen to eat calmly: it lies beyond all others, or nothing else was measured.
    CalmEating,
}

/// Where an approach starts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// The distance, cm.
    pub distance_cm: f64,
    /// What set it.
    pub basis: Basis,
}

/// Where an approach starts, from measured reactions and from the distance at which the bird eats calmly.
///
/// With measures on [`ENOUGH_DAYS`] separate days: exp(mean + 1.6495 standard deviations) of their natural logarithms,
/// the greatest of each day counting. With fewer days: the greatest times 1.5. The start is never below a distance at
/// which the bird reacted, nor below `calm_eating_cm`. Measures that all agree leave no margin: measure on more days.
///
/// # Errors
/// [`Unusable`] when a distance is not from [`LEAST_DISTANCE_CM`] to [`MOST_DISTANCE_CM`], when there is nothing
/// measured at all or more than [`MOST_MEASURES`], or when the measures scatter so widely that the start would lie
/// beyond [`MOST_START_CM`].
pub fn start(measures: &[Measure], calm_eating_cm: Option<f64>) -> Result<Start, Unusable> {
    let calm_eating = calm_eating_cm
        .map(|calm| within(calm, LEAST_DISTANCE_CM, MOST_DISTANCE_CM))
        .transpose()?;
    let fewest = usize::from(calm_eating.is_none());
    if !(fewest..=MOST_MEASURES).contains(&measures.len()) {
        return Err(Unusable::OutOfRange {
            least: fewest as f64,
            most: MOST_MEASURES as f64,
        });
    }
    let greatest_of_days = greatest_of_days(measures)?;
    let greatest = greatest_of_days.iter().copied().fold(0.0, f64::max);
    let mut start = if greatest_of_days.len() >= ENOUGH_DAYS {
        Start {
            distance_cm: within(buffered_cm(&greatest_of_days), 0.0, MOST_START_CM)?,
            basis: Basis::Scatter,
        }
    } else {
        Start {
            distance_cm: greatest * FEW_MEASURES_FACTOR,
            basis: Basis::FewMeasures,
        }
    };
    let floors = [
        (Some(greatest), Basis::GreatestMeasure),
        (calm_eating, Basis::CalmEating),
    ];
    for (floor, basis) in floors {
        if let Some(distance_cm) = floor.filter(|floor| *floor > start.distance_cm) {
            start = Start { distance_cm, basis };
        }
    }
    Ok(start)
}

/// The greatest measure of each day, cm.
fn greatest_of_days(measures: &[Measure]) -> Result<Vec<f64>, Unusable> {
    let mut days = std::collections::BTreeMap::new();
    for measure in measures {
        let distance = within(measure.distance_cm, LEAST_DISTANCE_CM, MOST_DISTANCE_CM)?;
        let greatest = days.entry(measure.day).or_insert(distance);
        *greatest = distance.max(*greatest);
    }
    Ok(days.into_values().collect())
}

/// exp(mean + [`BUFFER_DEVIATIONS`] standard deviations) of the natural logarithms, of two distances or more, each above zero, cm.
#[must_use]
pub fn buffered_cm(distances_cm: &[f64]) -> f64 {
    let count = distances_cm.len() as f64;
    let mean = distances_cm.iter().map(|cm| cm.ln()).sum::<f64>() / count;
    let squares: f64 = distances_cm.iter().map(|cm| (cm.ln() - mean).powi(2)).sum();
    (mean + BUFFER_DEVIATIONS * (squares / (count - 1.0)).sqrt()).exp()
}

/// How many moves of the ratio `ratio` lead from `start_cm` to `end_cm` or closer; none when they are the same.
///
/// # Errors
/// [`Unusable`] when `start_cm` is not from [`LEAST_DISTANCE_CM`] to [`MOST_START_CM`], `end_cm` not from
/// [`LEAST_DISTANCE_CM`] to `start_cm`, or `ratio` not from [`LEAST_RATIO`] to [`MOST_RATIO`].
pub fn moves_at_ratio(start_cm: f64, end_cm: f64, ratio: f64) -> Result<u32, Unusable> {
    let start = within(start_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    let end = within(end_cm, LEAST_DISTANCE_CM, start)?;
    let ratio = within(ratio, LEAST_RATIO, MOST_RATIO)?;
    Ok(moves(start, end, ratio))
}

/// How many moves of a ratio below one lead from one distance to a shorter one, both above zero; none from a shorter one.
/// At the bounds of [`moves_at_ratio`] from 0 to ln(3000) / -ln(0.99), which is 797.
#[must_use]
pub fn moves(start_cm: f64, end_cm: f64, ratio: f64) -> u32 {
    ((end_cm / start_cm).ln() / ratio.ln() - WHOLE_MOVE)
        .ceil()
        .clamp(0.0, f64::from(u32::MAX)) as u32
}

/// The ratio of one distance to the one before when `moves` equal moves lead from `start_cm` to `end_cm`.
///
/// # Errors
/// [`Unusable`] as for [`moves_at_ratio`], when `moves` is 0 or above [`MOST_MOVES`], or when so many moves would be
/// bolder than [`LEAST_RATIO`] or finer than [`MOST_RATIO`].
pub fn ratio_of_moves(start_cm: f64, end_cm: f64, moves: u32) -> Result<f64, Unusable> {
    let start = within(start_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    let end = within(end_cm, LEAST_DISTANCE_CM, start)?;
    let moves = within(f64::from(moves), 1.0, f64::from(MOST_MOVES))?;
    within((end / start).powf(1.0 / moves), LEAST_RATIO, MOST_RATIO)
}

/// The distances of an approach by moves of one ratio, cm: from the start down to the safe line.
///
/// Strictly falling; none lies inside the safe line and the last is exactly on it. The last move may be smaller than
/// the others. A start on the safe line is the only distance.
///
/// # Errors
/// As for [`moves_at_ratio`], `end_cm` being the safe line.
pub fn distances_at_ratio(
    start_cm: f64,
    safe_line_cm: f64,
    ratio: f64,
) -> Result<Vec<f64>, Unusable> {
    let moves = moves_at_ratio(start_cm, safe_line_cm, ratio)?;
    Ok(distances(start_cm, safe_line_cm, ratio, moves))
}

/// The distances of an approach in a number of moves of one ratio, cm: from the start down to the safe line.
///
/// One more distance than moves. Strictly falling; none lies inside the safe line and the last is exactly on it.
///
/// # Errors
/// As for [`ratio_of_moves`], `end_cm` being the safe line. A start on the safe line leaves no moves to make.
pub fn distances_in_moves(
    start_cm: f64,
    safe_line_cm: f64,
    moves: u32,
) -> Result<Vec<f64>, Unusable> {
    let ratio = ratio_of_moves(start_cm, safe_line_cm, moves)?;
    Ok(distances(start_cm, safe_line_cm, ratio, moves))
}

/// The start, each of the moves but the last from it, and the end, which is exact, cm.
#[must_use]
pub fn distances(start_cm: f64, safe_line_cm: f64, ratio: f64, moves: u32) -> Vec<f64> {
    let mut distance = start_cm;
    let mut all: Vec<f64> = (0..moves)
        .map(|_| {
            let here = distance;
            distance *= ratio;
            here
        })
        .collect();
    all.push(safe_line_cm);
    all
}

/// How many steps the person stays hidden for, because the room's longest sight line is shorter than the start.
///
/// As many as the moves of the same ratio that do not fit into the room; none when the start fits. No exchange rate
/// between what is hidden and distance is published: each hidden step has to be passed by itself.
///
/// # Errors
/// As for [`moves_at_ratio`], with a sight line from [`LEAST_DISTANCE_CM`] to [`MOST_START_CM`].
pub fn hidden_steps(start_cm: f64, sight_line_cm: f64, ratio: f64) -> Result<u32, Unusable> {
    let start = within(start_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    let sight_line = within(sight_line_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    moves_at_ratio(start, sight_line.min(start), ratio)
}

/// How wide something looks from a distance, degrees: twice the arc tangent of half its width over the distance.
///
/// # Errors
/// [`Unusable`] when the width is not from [`LEAST_WIDTH_CM`] to [`MOST_WIDTH_CM`] or the distance not from
/// [`LEAST_DISTANCE_CM`] to [`MOST_START_CM`].
pub fn visual_angle_deg(width_cm: f64, distance_cm: f64) -> Result<f64, Unusable> {
    let width = within(width_cm, LEAST_WIDTH_CM, MOST_WIDTH_CM)?;
    let distance = within(distance_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    Ok(2.0 * (width / (2.0 * distance)).atan().to_degrees())
}

/// How fast something that comes straight on grows in the eye, degrees per second.
///
/// The rate at which [`visual_angle_deg`] changes. To keep it the same, speed has to fall with about the square of the
/// distance.
///
/// # Errors
/// [`Unusable`] as for [`visual_angle_deg`], or when the speed is not above zero and at most [`MOST_SPEED_CM_PER_S`].
pub fn expansion_deg_per_s(
    width_cm: f64,
    distance_cm: f64,
    speed_cm_per_s: f64,
) -> Result<f64, Unusable> {
    let width = within(width_cm, LEAST_WIDTH_CM, MOST_WIDTH_CM)?;
    let distance = within(distance_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    let speed = speed(speed_cm_per_s)?;
    Ok((speed * width / (distance * distance + width * width / 4.0)).to_degrees())
}

/// Seconds until something that comes straight on has arrived.
///
/// # Errors
/// [`Unusable`] when the distance is not from [`LEAST_DISTANCE_CM`] to [`MOST_START_CM`], or the speed not above zero
/// and at most [`MOST_SPEED_CM_PER_S`].
pub fn time_to_contact_s(distance_cm: f64, speed_cm_per_s: f64) -> Result<f64, Unusable> {
    let distance = within(distance_cm, LEAST_DISTANCE_CM, MOST_START_CM)?;
    Ok(distance / speed(speed_cm_per_s)?)
}

fn speed(speed_cm_per_s: f64) -> Result<f64, Unusable> {
    within(above_zero(speed_cm_per_s)?, 0.0, MOST_SPEED_CM_PER_S)
}

#[cfg(test)]
mod tests {
    use super::{
        Basis, Measure, Unusable, distances_at_ratio, distances_in_moves, expansion_deg_per_s,
        hidden_steps, moves_at_ratio, ratio_of_moves, start, time_to_contact_s, visual_angle_deg,
    };

    fn near(got: f64, expected: f64, tolerance: f64) {
        assert!(
            (got - expected).abs() <= tolerance,
            "{got} is not {expected}"
        );
    }

    fn outside<T>(least: f64, most: f64) -> Result<T, Unusable> {
        Err(Unusable::OutOfRange { least, most })
    }

    /// One measure a day, from the first day on.
    fn daily(distances_cm: &[f64]) -> Vec<Measure> {
        (1..)
            .zip(distances_cm)
            .map(|(day, distance_cm)| Measure {
                day,
                distance_cm: *distance_cm,
            })
            .collect()
    }

    fn from(distances_cm: &[f64], calm_eating_cm: Option<f64>) -> (f64, Basis) {
        let start = start(&daily(distances_cm), calm_eating_cm).unwrap();
        (start.distance_cm, start.basis)
    }

    // Computed, with the buffer that Rodgers and Smith (1997) use for waterbirds.
    #[test]
    fn five_days_of_measures_start_beyond_their_scatter() {
        let (distance, basis) = from(&[120.0, 150.0, 140.0, 180.0, 160.0], None);
        near(distance, 190.780_9, 1e-4);
        assert_eq!(basis, Basis::Scatter);
    }

    // Three distances in the ratio 1 : e : e^2 have the mean logarithm of the middle one and a deviation of exactly 1.
    #[test]
    fn the_buffer_is_the_published_number_of_deviations() {
        let e = std::f64::consts::E;
        let (distance, basis) = from(&[100.0 / e, 100.0, 100.0 * e], None);
        near(distance, 100.0 * 1.6495_f64.exp(), 1e-9);
        assert_eq!(basis, Basis::Scatter);
    }

    // The factor is from memory: these lines hold what the program states, and show nothing about birds.
    #[test]
    fn fewer_than_three_days_start_half_as_far_again_as_the_greatest() {
        assert_eq!(from(&[120.0], None), (180.0, Basis::FewMeasures));
        assert_eq!(from(&[120.0, 200.0], None), (300.0, Basis::FewMeasures));
        assert_eq!(from(&[200.0, 120.0], None), (300.0, Basis::FewMeasures));
    }

    #[test]
    fn several_measures_of_one_day_count_as_the_greatest_of_that_day() {
        let one_day: Vec<Measure> = [120.0, 200.0, 160.0]
            .map(|distance_cm| Measure {
                day: 7,
                distance_cm,
            })
            .to_vec();
        let on_one_day = start(&one_day, None).unwrap();
        assert_eq!(
            (on_one_day.distance_cm, on_one_day.basis),
            (300.0, Basis::FewMeasures)
        );
        let mut measures = daily(&[120.0, 150.0, 140.0, 180.0, 160.0]);
        let without = start(&measures, None).unwrap();
        measures.insert(
            0,
            Measure {
                day: 4,
                distance_cm: 90.0,
            },
        );
        measures.push(Measure {
            day: 1,
            distance_cm: 60.0,
        });
        assert_eq!(start(&measures, None), Ok(without));
    }

    // One far measure among many near ones: the scatter alone would start inside a distance the bird reacted at.
    #[test]
    fn the_start_is_never_nearer_than_a_distance_the_bird_reacted_at() {
        let measures = [100.0, 100.0, 100.0, 100.0, 100.0, 100.0, 300.0];
        assert_eq!(from(&measures, None), (300.0, Basis::GreatestMeasure));
        near(from(&[150.0; 3], None).0, 150.0, 1e-9);
    }

    #[test]
    fn the_start_is_never_nearer_than_where_the_bird_was_seen_to_eat_calmly() {
        let few = &[120.0][..];
        assert_eq!(from(few, Some(179.9)), (180.0, Basis::FewMeasures));
        assert_eq!(from(few, Some(180.0)), (180.0, Basis::FewMeasures));
        assert_eq!(from(few, Some(180.1)), (180.1, Basis::CalmEating));
        let many = &[120.0, 150.0, 140.0, 180.0, 160.0][..];
        assert_eq!(from(many, Some(250.0)), (250.0, Basis::CalmEating));
        assert_eq!(from(many, Some(100.0)), from(many, None));
        assert_eq!(from(&[], Some(250.0)), (250.0, Basis::CalmEating));
    }

    #[test]
    fn absurd_or_missing_measures_give_no_start() {
        assert_eq!(start(&[], None), outside(1.0, 1_000.0));
        assert!(start(&daily(&[100.0; 1_000]), None).is_ok());
        assert_eq!(start(&daily(&[100.0; 1_001]), None), outside(1.0, 1_000.0));
        let calm = Some(100.0);
        assert_eq!(start(&daily(&[100.0; 1_001]), calm), outside(0.0, 1_000.0));
        assert_eq!(from(&[1.0], None).0, 1.5);
        assert_eq!(from(&[2_000.0], Some(2_000.0)).0, 3_000.0);
        for bad in [0.999, 0.0, -120.0, 2_000.1, 1e300] {
            assert_eq!(start(&daily(&[bad]), None), outside(1.0, 2_000.0));
            assert_eq!(start(&daily(&[100.0]), Some(bad)), outside(1.0, 2_000.0));
        }
        for bad in [f64::NAN, f64::INFINITY] {
            assert_eq!(start(&daily(&[100.0, bad]), None), Err(Unusable::NotFinite));
            assert_eq!(start(&daily(&[100.0]), Some(bad)), Err(Unusable::NotFinite));
        }
        assert_eq!(
            start(&daily(&[1.0, 1.0, 2_000.0]), None),
            outside(0.0, 3_000.0)
        );
    }

    // Computed: ln(0.5 / 4) over ln of the ratio, rounded up.
    #[test]
    fn four_metres_to_half_a_metre_take_more_moves_the_finer_the_ratio() {
        for (ratio, moves) in [
            (0.9, 20),
            (0.85, 13),
            (0.8, 10),
            (0.75, 8),
            (0.7, 6),
            (0.5, 3),
        ] {
            assert_eq!(moves_at_ratio(400.0, 50.0, ratio), Ok(moves));
        }
        assert_eq!(moves_at_ratio(50.0, 50.0, 0.8), Ok(0));
        assert_eq!(moves_at_ratio(50.1, 50.0, 0.8), Ok(1));
    }

    // Computed: ratios of the tenth and the twelfth root; in twelve moves the distance halves every four.
    #[test]
    fn four_metres_to_half_a_metre_in_ten_or_twelve_moves() {
        near(ratio_of_moves(400.0, 50.0, 10).unwrap(), 0.812_252, 1e-6);
        near(ratio_of_moves(400.0, 50.0, 12).unwrap(), 0.840_896, 1e-6);
        let ten = distances_in_moves(400.0, 50.0, 10).unwrap();
        let expected = [
            400.0, 324.901_0, 263.901_6, 214.354_7, 174.110_1, 141.421_4, 114.869_8, 93.303_3,
            75.785_8, 61.557_2, 50.0,
        ];
        assert_eq!(ten.len(), expected.len());
        for (got, expected) in ten.iter().zip(expected) {
            near(*got, expected, 1e-4);
        }
        let twelve = distances_in_moves(400.0, 50.0, 12).unwrap();
        near(twelve[4], 200.0, 1e-9);
        near(twelve[8], 100.0, 1e-9);
        assert_eq!((twelve.len(), twelve[12]), (13, 50.0));
    }

    #[test]
    fn every_approach_falls_strictly_and_ends_exactly_on_the_safe_line() {
        let falls = |distances: &[f64], start: f64, line: f64| {
            assert_eq!(distances.first(), Some(&start));
            assert_eq!(distances.last(), Some(&line));
            assert!(distances.is_sorted_by(|far, near| far > near));
            assert!(distances.iter().all(|distance| *distance >= line));
        };
        for (start, line) in [
            (400.0, 50.0),
            (3_000.0, 1.0),
            (190.780_9, 75.0),
            (75.1, 75.0),
            (230.0, 229.999_999),
        ] {
            for ratio in [0.5, 0.7, 0.8, 0.9, 0.99] {
                let distances = distances_at_ratio(start, line, ratio).unwrap();
                falls(&distances, start, line);
                let moves = moves_at_ratio(start, line, ratio).unwrap();
                assert_eq!(distances.len(), moves as usize + 1);
            }
            for moves in 1..=800 {
                if let Ok(distances) = distances_in_moves(start, line, moves) {
                    falls(&distances, start, line);
                    assert_eq!(distances.len(), moves as usize + 1);
                }
            }
        }
        assert_eq!(distances_at_ratio(75.0, 75.0, 0.8), Ok(vec![75.0]));
    }

    #[test]
    fn an_exact_number_of_moves_gains_no_move_of_nothing() {
        for power in 1..=10 {
            for ratio in [0.5_f64, 0.7, 0.8, 0.9, 0.99] {
                let end = 1_500.0 * ratio.powi(power);
                let moves = u32::try_from(power).unwrap();
                assert_eq!(moves_at_ratio(1_500.0, end, ratio), Ok(moves));
            }
        }
    }

    // Computed: a start of 4 m in a room with 2.5 m of sight leaves three hidden steps, then eight moves.
    #[test]
    fn a_room_shorter_than_the_start_hides_the_first_steps() {
        assert_eq!(hidden_steps(400.0, 250.0, 0.8), Ok(3));
        let visible = distances_at_ratio(250.0, 50.0, 0.8).unwrap();
        let expected = [
            250.0, 200.0, 160.0, 128.0, 102.4, 81.92, 65.536, 52.428_8, 50.0,
        ];
        assert_eq!(visible.len(), expected.len());
        for (got, expected) in visible.iter().zip(expected) {
            near(*got, expected, 1e-9);
        }
        assert_eq!(hidden_steps(400.0, 399.9, 0.8), Ok(1));
        assert_eq!(hidden_steps(400.0, 400.0, 0.8), Ok(0));
        assert_eq!(hidden_steps(400.0, 3_000.0, 0.8), Ok(0));
    }

    #[test]
    fn an_approach_that_cannot_be_laid_out_is_refused() {
        assert_eq!(moves_at_ratio(3_000.0, 1.0, 0.5), Ok(12));
        for bad in [0.9, 0.0, -400.0, 3_000.1] {
            assert_eq!(moves_at_ratio(bad, 1.0, 0.8), outside(1.0, 3_000.0));
            assert_eq!(ratio_of_moves(bad, 1.0, 9), outside(1.0, 3_000.0));
            assert_eq!(distances_at_ratio(bad, 1.0, 0.8), outside(1.0, 3_000.0));
            assert_eq!(distances_in_moves(bad, 1.0, 9), outside(1.0, 3_000.0));
            assert_eq!(hidden_steps(bad, 100.0, 0.8), outside(1.0, 3_000.0));
            assert_eq!(hidden_steps(100.0, bad, 0.8), outside(1.0, 3_000.0));
        }
        // A safe line beyond the start.
        assert_eq!(distances_at_ratio(75.0, 75.1, 0.8), outside(1.0, 75.0));
        assert_eq!(distances_in_moves(75.0, 75.1, 9), outside(1.0, 75.0));
        assert_eq!(moves_at_ratio(75.0, 0.9, 0.8), outside(1.0, 75.0));
        assert_eq!(ratio_of_moves(75.0, 0.9, 9), outside(1.0, 75.0));
        for bad in [0.499, 0.990_1, 0.0, 1.0, -0.8, 80.0] {
            assert_eq!(moves_at_ratio(400.0, 50.0, bad), outside(0.5, 0.99));
            assert_eq!(hidden_steps(400.0, 250.0, bad), outside(0.5, 0.99));
        }
        assert_eq!(ratio_of_moves(400.0, 50.0, 0), outside(1.0, 1_000.0));
        assert_eq!(ratio_of_moves(400.0, 50.0, 1_001), outside(1.0, 1_000.0));
        // Two moves from 4 m to half a metre are bolder than halving, three are halving, a thousand are too fine.
        assert_eq!(ratio_of_moves(400.0, 50.0, 2), outside(0.5, 0.99));
        near(ratio_of_moves(400.0, 50.0, 3).unwrap(), 0.5, 1e-12);
        assert_eq!(ratio_of_moves(400.0, 50.0, 1_000), outside(0.5, 0.99));
        assert_eq!(distances_in_moves(50.0, 50.0, 1), outside(0.5, 0.99));
        for bad in [f64::NAN, f64::INFINITY] {
            let refused = Err(Unusable::NotFinite);
            assert_eq!(moves_at_ratio(bad, 50.0, 0.8), refused);
            assert_eq!(moves_at_ratio(400.0, bad, 0.8), refused);
            assert_eq!(moves_at_ratio(400.0, 50.0, bad), refused);
            assert_eq!(hidden_steps(400.0, bad, 0.8), refused);
            assert_eq!(ratio_of_moves(bad, 50.0, 9), Err(Unusable::NotFinite));
            assert_eq!(ratio_of_moves(400.0, bad, 9), Err(Unusable::NotFinite));
        }
    }

    // Computed: a person 45 cm wide.
    #[test]
    fn a_person_doubles_in_size_when_the_distance_halves() {
        for (distance, angle) in [
            (400.0, 6.438_990),
            (200.0, 12.837_573),
            (100.0, 25.360_767),
            (50.0, 48.455_491),
        ] {
            near(visual_angle_deg(45.0, distance).unwrap(), angle, 1e-6);
        }
    }

    // Computed: a person 45 cm wide at half a metre a second.
    #[test]
    fn the_same_walk_looms_four_times_as_fast_at_half_the_distance() {
        for (distance, rate, seconds) in [
            (400.0, 0.803_181, 8.0),
            (200.0, 3.182_608, 4.0),
            (100.0, 12.270_363, 2.0),
        ] {
            near(
                expansion_deg_per_s(45.0, distance, 50.0).unwrap(),
                rate,
                1e-6,
            );
            assert_eq!(time_to_contact_s(distance, 50.0), Ok(seconds));
        }
    }

    // Compared with the angles a ten-thousandth of a second before and after.
    #[test]
    fn the_rate_of_growth_is_the_change_of_the_angle() {
        for (width, distance, speed) in [(45.0, 50.0, 80.0), (10.0, 300.0, 20.0)] {
            let angle = |seconds: f64| visual_angle_deg(width, distance - speed * seconds).unwrap();
            let rate = (angle(0.000_1) - angle(-0.000_1)) / 0.000_2;
            near(
                expansion_deg_per_s(width, distance, speed).unwrap(),
                rate,
                1e-4,
            );
        }
    }

    #[test]
    fn what_no_person_is_or_does_is_refused() {
        assert!(visual_angle_deg(1.0, 1.0).is_ok() && visual_angle_deg(200.0, 3_000.0).is_ok());
        for bad in [0.999, 0.0, -45.0, 200.1] {
            assert_eq!(visual_angle_deg(bad, 100.0), outside(1.0, 200.0));
            assert_eq!(expansion_deg_per_s(bad, 100.0, 50.0), outside(1.0, 200.0));
        }
        for bad in [0.999, 0.0, -100.0, 3_000.1] {
            assert_eq!(visual_angle_deg(45.0, bad), outside(1.0, 3_000.0));
            assert_eq!(expansion_deg_per_s(45.0, bad, 50.0), outside(1.0, 3_000.0));
            assert_eq!(time_to_contact_s(bad, 50.0), outside(1.0, 3_000.0));
        }
        assert_eq!(time_to_contact_s(1_000.0, 1_000.0), Ok(1.0));
        assert_eq!(time_to_contact_s(100.0, 1_000.1), outside(0.0, 1_000.0));
        assert!(expansion_deg_per_s(45.0, 100.0, 1_000.0).is_ok());
        assert!(expansion_deg_per_s(45.0, 100.0, 1_000.1).is_err());
        for bad in [0.0, -50.0] {
            assert_eq!(time_to_contact_s(100.0, bad), Err(Unusable::NotAboveZero));
            let refused = Err(Unusable::NotAboveZero);
            assert_eq!(expansion_deg_per_s(45.0, 100.0, bad), refused);
        }
        for bad in [f64::NAN, f64::INFINITY] {
            let refused = Err(Unusable::NotFinite);
            assert_eq!(visual_angle_deg(bad, 100.0), refused);
            assert_eq!(visual_angle_deg(45.0, bad), refused);
            assert_eq!(expansion_deg_per_s(bad, 100.0, 50.0), refused);
            assert_eq!(expansion_deg_per_s(45.0, bad, 50.0), refused);
            assert_eq!(expansion_deg_per_s(45.0, 100.0, bad), refused);
            assert_eq!(time_to_contact_s(bad, 50.0), refused);
            assert_eq!(time_to_contact_s(100.0, bad), refused);
        }
    }
}
