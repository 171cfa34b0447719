//! The ordered outcomes. Rules can only tighten them, so the order of rules and files cannot matter.

use super::scale::scale;

scale! {
    /// How much harm is credible.
    Risk {
        /// No more than anyone who keeps a bird.
        Low = "low",
        /// Harm is likely to be slight.
        Moderate = "moderate",
        /// Broken skin is credible, or someone who cannot protect themselves is near.
        High = "high",
        /// Lasting harm is credible.
        Severe = "severe",
    }
}

scale! {
    /// How work may begin.
    Start {
        /// Bird and people share the room under the session rules.
        OpenRoom = "open-room",
        /// Cage open, bird on a fixed station, people beyond its reach.
        Stationed = "stationed",
        /// Bars or mesh between beak and hand, with a retreat the bird can use.
        ThroughBarrier = "through-barrier",
        /// No sessions; management only.
        HandsOff = "hands-off",
    }
}

scale! {
    /// How soon to reply.
    Contact {
        /// In the ordinary run of work.
        Routine = "routine",
        /// Within a week.
        OneWeek = "1 week",
        /// Within two days.
        TwoDays = "2 days",
        /// The same day.
        SameDay = "same day",
        /// Now.
        AtOnce = "at once",
    }
}

scale! {
    /// How soon a vet has to see the bird.
    Vet {
        /// The yearly visit.
        Routine = "routine",
        /// A visit would help.
        Recommended = "recommended",
        /// Before any training.
        BeforeTraining = "before training",
        /// Now.
        Urgent = "urgent",
    }
}
