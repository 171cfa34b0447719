//! Groups that people, laws and trade sheets sort parrots into, worked out from the scientific name.

/// The group a kind is sorted into by those who keep it. It hangs on the genus, in the current name or an older one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// The budgerigar.
    Budgerigar,
    /// The cockatiel.
    Cockatiel,
    /// Lovebirds.
    Lovebird,
    /// Parrotlets.
    Parrotlet,
    /// Long-tailed parakeets of Australia, Asia, the Pacific and the small ones of South America.
    Parakeet,
    /// Conures.
    Conure,
    /// Lories and lorikeets.
    Lory,
    /// Caiques.
    Caique,
    /// Pionus parrots.
    Pionus,
    /// Poicephalus parrots.
    Poicephalus,
    /// Grey parrots.
    Grey,
    /// Amazons.
    Amazon,
    /// Eclectus parrots.
    Eclectus,
    /// Cockatoos without the cockatiel.
    Cockatoo,
    /// Macaws, large and small.
    Macaw,
    /// All others.
    Other,
}

/// The genera of each group, as AVONET has them, with older names in use until lately. Lories, macaws, cockatoos and the
/// groups of one genus follow the taxonomy; which genera are called conures is the usage of those who keep them (common
/// practice, no source).
const GENERA: &[(Group, &[&str])] = &[
    (Group::Budgerigar, &["Melopsittacus"]),
    (Group::Cockatiel, &["Nymphicus"]),
    (Group::Lovebird, &["Agapornis"]),
    (Group::Parrotlet, &["Forpus"]),
    (
        Group::Parakeet,
        &[
            "Alexandrinus",
            "Alisterus",
            "Aprosmictus",
            "Barnardius",
            "Belocercus",
            "Bolborhynchus",
            "Brotogeris",
            "Cyanoramphus",
            "Eunymphicus",
            "Himalayapsitta",
            "Lathamus",
            "Myiopsitta",
            "Neophema",
            "Neopsephotus",
            "Nicopsitta",
            "Northiella",
            "Palaeornis",
            "Pezoporus",
            "Platycercus",
            "Polytelis",
            "Prosopeia",
            "Psephotellus",
            "Psephotus",
            "Psilopsiagon",
            "Psittacula",
            "Purpureicephalus",
        ],
    ),
    (
        Group::Conure,
        &[
            "Aratinga",
            "Cyanoliseus",
            "Enicognathus",
            "Eupsittula",
            "Guaruba",
            "Leptosittaca",
            "Nandayus",
            "Ognorhynchus",
            "Psittacara",
            "Pyrrhura",
            "Thectocercus",
        ],
    ),
    (
        Group::Lory,
        &[
            "Chalcopsitta",
            "Charmosyna",
            "Eos",
            "Glossopsitta",
            "Lorius",
            "Neopsittacus",
            "Oreopsittacus",
            "Phigys",
            "Pseudeos",
            "Psitteuteles",
            "Trichoglossus",
            "Vini",
        ],
    ),
    (Group::Caique, &["Pionites"]),
    (Group::Pionus, &["Pionus"]),
    (Group::Poicephalus, &["Poicephalus"]),
    (Group::Grey, &["Psittacus"]),
    (Group::Amazon, &["Amazona", "Alipiopsitta"]),
    (Group::Eclectus, &["Eclectus"]),
    (
        Group::Cockatoo,
        &[
            "Cacatua",
            "Callocephalon",
            "Calyptorhynchus",
            "Eolophus",
            "Lophochroa",
            "Probosciger",
            "Zanda",
        ],
    ),
    (
        Group::Macaw,
        &[
            "Anodorhynchus",
            "Ara",
            "Cyanopsitta",
            "Diopsittaca",
            "Orthopsittaca",
            "Primolius",
        ],
    ),
];

impl Group {
    /// All groups, small to large as they are met in homes.
    pub const ALL: &[Self] = &[
        Self::Budgerigar,
        Self::Cockatiel,
        Self::Lovebird,
        Self::Parrotlet,
        Self::Parakeet,
        Self::Conure,
        Self::Lory,
        Self::Caique,
        Self::Pionus,
        Self::Poicephalus,
        Self::Grey,
        Self::Amazon,
        Self::Eclectus,
        Self::Cockatoo,
        Self::Macaw,
        Self::Other,
    ];

    /// The group of a scientific name, by its first word.
    #[must_use]
    pub fn of(scientific_name: &str) -> Self {
        let genus = scientific_name.split(' ').next().unwrap_or_default();
        GENERA
            .iter()
            .find(|(_, genera)| genera.contains(&genus))
            .map_or(Self::Other, |(group, _)| *group)
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Budgerigar => "budgerigar",
            Self::Cockatiel => "cockatiel",
            Self::Lovebird => "lovebird",
            Self::Parrotlet => "parrotlet",
            Self::Parakeet => "parakeet",
            Self::Conure => "conure",
            Self::Lory => "lory",
            Self::Caique => "caique",
            Self::Pionus => "pionus",
            Self::Poicephalus => "poicephalus",
            Self::Grey => "grey",
            Self::Amazon => "amazon",
            Self::Eclectus => "eclectus",
            Self::Cockatoo => "cockatoo",
            Self::Macaw => "macaw",
            Self::Other => "other",
        }
    }

    /// The long-tailed parrots that German-language rules count as parakeets ("Sittiche"), which are the genera of
    /// [`Group::Parakeet`] and [`Group::Conure`]. That list is from memory of German names; the rules themselves give none.
    /// Budgerigar and cockatiel are Sittiche by name as well, but the German report of 1995 and the Austrian ordinance set
    /// both apart, so they are not counted here.
    #[must_use]
    pub fn is_parakeet(self) -> bool {
        matches!(self, Self::Parakeet | Self::Conure)
    }
}

/// The large macaws and large cockatoos of the Swiss Animal Protection Ordinance (TSchV, SR 455.1), Annex 2, Table 2, note
/// f: each genus, in today's name or an older one, with the epithets of the note and today's spellings of them.
///
/// The note names black cockatoos as funereus, lathami and magnificus (today Calyptorhynchus banksii). The two white-tailed
/// black cockatoos (Zanda baudinii, Z. latirostris) are not in it by name and not in this list.
const SWISS_LARGE: &[(&[&str], &[&str])] = &[
    (&["Anodorhynchus"], &["hyacinthinus", "leari"]),
    (
        &["Ara"],
        &[
            "ambigua",
            "ambiguus",
            "ararauna",
            "caninde",
            "glaucogularis",
            "chloroptera",
            "chloropterus",
            "macao",
            "militaris",
            "rubrogenys",
        ],
    ),
    (&["Cyanopsitta", "Ara"], &["spixii"]),
    (
        &["Cacatua"],
        &["alba", "galerita", "moluccensis", "ophthalmica"],
    ),
    (
        &["Calyptorhynchus", "Zanda"],
        &["funereus", "funerea", "lathami", "magnificus", "banksii"],
    ),
    (&["Probosciger"], &["aterrimus"]),
];

/// True for a large macaw or large cockatoo of the Swiss Animal Protection Ordinance (TSchV, SR 455.1), Annex 2, Table 2,
/// note f. Greys, amazons, the galah and the other white cockatoos are not in that class.
#[must_use]
pub(super) fn on_swiss_large_list(scientific_name: &str) -> bool {
    let mut words = scientific_name.split(' ');
    let (genus, epithet) = (
        words.next().unwrap_or_default(),
        words.next().unwrap_or_default(),
    );
    SWISS_LARGE
        .iter()
        .any(|(genera, epithets)| genera.contains(&genus) && epithets.contains(&epithet))
}

/// The groups in which trade sheets on cages give the space between bars. Trade guidance, no standard.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum BarGroup {
    /// Budgerigar, parrotlets, lovebirds.
    BudgerigarParrotletLovebird,
    /// Cockatiel.
    Cockatiel,
    /// Conures, Poicephalus parrots.
    ConurePoicephalus,
    /// Caiques, Pionus parrots; one sheet of four adds the small macaws.
    CaiquePionus,
    /// Greys, amazons, small cockatoos.
    GreyAmazonSmallCockatoo,
    /// Large cockatoos, large macaws.
    LargeCockatooLargeMacaw,
}

impl BarGroup {
    /// The group of the sheets; `None` where no sheet names the kind. The sheets do not say which cockatoos and macaws are
    /// large: here those of the Swiss list are, which is a project rule.
    #[must_use]
    pub(super) fn of(group: Group, on_swiss_large_list: bool) -> Option<Self> {
        match (group, on_swiss_large_list) {
            (Group::Budgerigar | Group::Parrotlet | Group::Lovebird, _) => {
                Some(Self::BudgerigarParrotletLovebird)
            }
            (Group::Cockatiel, _) => Some(Self::Cockatiel),
            (Group::Conure | Group::Poicephalus, _) => Some(Self::ConurePoicephalus),
            (Group::Caique | Group::Pionus, _) | (Group::Macaw, false) => Some(Self::CaiquePionus),
            (Group::Grey | Group::Amazon, _) | (Group::Cockatoo, false) => {
                Some(Self::GreyAmazonSmallCockatoo)
            }
            (Group::Cockatoo | Group::Macaw, true) => Some(Self::LargeCockatooLargeMacaw),
            (Group::Parakeet | Group::Lory | Group::Eclectus | Group::Other, _) => None,
        }
    }

    /// Its word.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::BudgerigarParrotletLovebird => "budgerigar-parrotlet-lovebird",
            Self::Cockatiel => "cockatiel",
            Self::ConurePoicephalus => "conure-poicephalus",
            Self::CaiquePionus => "caique-pionus",
            Self::GreyAmazonSmallCockatoo => "grey-amazon-small-cockatoo",
            Self::LargeCockatooLargeMacaw => "large-cockatoo-large-macaw",
        }
    }
}
