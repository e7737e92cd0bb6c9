//! What is wanted of a print for a craft: the kind, and whatever shall be other than the craft suggests.

use super::bore::HeadSeat;
use super::choices::{Wish, choices};
use super::fault::within;
use super::refusal::PrintRefusal;
use super::wedge::WedgeBase;
use craft::{Anchor, PlaceId};
use fit::Thread;
use quantity::{Degrees, Millimetres};

/// The prints there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PrintKind {
    /// A plate with the holes of a frame and those of a board.
    Adapter,
    /// A wedge under a camera.
    Wedge,
    /// What fills the room beside a camera narrower than its slot.
    Cheeks,
    /// What holds an antenna, with a tie for its lead.
    Holder,
}

impl PrintKind {
    /// Every kind.
    pub const ALL: [PrintKind; 4] =
        [PrintKind::Adapter, PrintKind::Wedge, PrintKind::Cheeks, PrintKind::Holder];

    /// The word on the command line and in addresses.
    pub const fn word(self) -> &'static str {
        match self {
            PrintKind::Adapter => "adapter",
            PrintKind::Wedge => "wedge",
            PrintKind::Cheeks => "cheeks",
            PrintKind::Holder => "holder",
        }
    }

    /// What it is, in a line.
    pub const fn says(self) -> &'static str {
        match self {
            PrintKind::Adapter => "a plate with the holes of a frame and those of a board",
            PrintKind::Wedge => "a wedge under a camera, at its tilt",
            PrintKind::Cheeks => "what fills the room beside a camera narrower than its mount",
            PrintKind::Holder => "what holds an antenna, with a tie for its lead",
        }
    }

    /// The kind of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.word() == word)
    }
}

/// Whether a print gets what is usual, or is kept plain.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Finish {
    /// Cheeks with rims, a holder with a slit.
    #[default]
    Usual,
    /// Cheeks without rims, a holder without a slit.
    Plain,
}

/// What shall be other than the craft suggests; what is left out follows from the craft.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Wanted {
    /// The board, camera or antenna it is for.
    pub place: Option<PlaceId>,
    /// Adapter: the hole pattern it goes on.
    pub onto: Option<Anchor>,
    /// Adapter: its thickness. Wedge: the floor under its screws. Holder: its base.
    pub thickness: Option<Millimetres>,
    /// Adapter: how far the board is turned.
    pub turn: Option<Degrees>,
    /// Wedge: the slope. Holder: the lean.
    pub angle: Option<Degrees>,
    /// Adapter: the screws into the frame. Wedge and holder: those that hold it.
    pub screw: Option<String>,
    /// Adapter: where the heads lie.
    pub heads: Option<HeadSeat>,
    /// Wedge: where its holes are.
    pub base: Option<WedgeBase>,
    /// Cheeks and holder: plain or as usual.
    pub finish: Finish,
}

impl Wanted {
    /// Refuses what this kind of print does not have.
    pub(super) fn check(&self, kind: PrintKind) -> Result<(), PrintRefusal> {
        let said = [
            (Wish::Onto, self.onto.is_some(), "pattern to go on"),
            (Wish::Thickness, self.thickness.is_some(), "thickness"),
            (Wish::Turn, self.turn.is_some(), "turn"),
            (Wish::Angle, self.angle.is_some(), "angle"),
            (Wish::Screw, self.screw.is_some(), "screw"),
            (Wish::Heads, self.heads.is_some(), "seat for heads"),
            (Wish::Base, self.base.is_some(), "base"),
            (Wish::Finish, self.finish == Finish::Plain, "plain form"),
        ];
        let lacks = |wish: Wish| choices(kind).iter().all(|choice| choice.wish != wish);
        match said.into_iter().find(|(wish, is_said, _)| *is_said && lacks(*wish)) {
            Some((.., what)) => Err(PrintRefusal::HasNone { kind, what }),
            None => self.thick_enough(kind),
        }
    }

    /// A thickness of nothing is told before the question whether anything is to be printed; the rest is for the maker.
    fn thick_enough(&self, kind: PrintKind) -> Result<(), PrintRefusal> {
        let limits = choices(kind).iter().find(|choice| choice.wish == Wish::Thickness);
        let (Some(size), Some((label, Some((least, most))))) =
            (self.thickness, limits.map(|choice| (choice.label, choice.between)))
        else {
            return Ok(());
        };
        if size.get() > 0.0 {
            return Ok(());
        }
        let refused =
            |fault| PrintRefusal::Faults { what: format!("the {}", kind.word()), faults: vec![fault] };
        within(label, size, least, most).map(|_| ()).map_err(refused)
    }

    /// The thread that was named, if one was.
    pub(super) fn thread(&self) -> Result<Option<Thread>, PrintRefusal> {
        let named =
            |name: &String| Thread::named(name).ok_or_else(|| PrintRefusal::NoThread { text: name.clone() });
        self.screw.as_ref().map(named).transpose()
    }
}
