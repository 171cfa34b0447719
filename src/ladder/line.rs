//! What the line nobody crosses in practice rests on.

use super::ordered::ordered;

ordered! {
    /// What the line nobody crosses in practice rests on.
    LineFrom {
        /// Reach past the bars and the margin.
        Bars = "bars",
        /// Reach from a perch, with the cage open, and the margin.
        Perch = "perch",
        /// The distance from which the bird went for someone, and the margin.
        Strike = "strike",
        /// Where the bird eats calmly while it is out: it can reach any place, and only calm keeps people apart.
        Calm = "calm",
    }
}
