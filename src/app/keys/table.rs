use super::chord::Chord;
use crate::app::i18n::{Key, text};
use crate::app::logic::palette::Piece;
use nudgeproof::cell::FAULT_KINDS;

/// Where keys hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Scope {
    /// The whole page. In a text field only what has Alt.
    Page,
    /// The sheet, by themselves; with Alt the whole page.
    Sheet,
    /// The palette: where the keys of the sheet hold.
    Palette,
    /// The one key after that of [`KeyCommand::PlantFault`].
    Fault,
    /// The torch on the plan.
    Torch,
    /// Torch and taught points in the elevation.
    Height,
    /// The grip that slides the part.
    SlideGrip,
    /// The grip that turns the part.
    TurnGrip,
    /// A drag on the sheet.
    Drag,
    /// A drag of something that snaps.
    Snap,
    /// A step of the routine.
    Step,
    /// A field for a number.
    NumberField,
    /// A touch on the drawing of a part of one's own.
    OwnTouch,
    /// A shift; in a text field they belong to the text.
    Shift,
}

impl Scope {
    /// In the order of the help.
    pub(crate) const ALL: [Self; 14] = [
        Self::Torch,
        Self::Palette,
        Self::SlideGrip,
        Self::TurnGrip,
        Self::Height,
        Self::Drag,
        Self::Snap,
        Self::Step,
        Self::NumberField,
        Self::OwnTouch,
        Self::Shift,
        Self::Sheet,
        Self::Fault,
        Self::Page,
    ];

    /// What the help calls it.
    pub(crate) fn title(self) -> Key {
        match self {
            Self::Page => Key::KeysOnPage,
            Self::Sheet => Key::KeysOnSheet,
            Self::Palette => Key::KeysOnPalette,
            Self::Fault => Key::KeysOnFault,
            Self::Torch => Key::KeysOnTorch,
            Self::Height => Key::KeysOnHeight,
            Self::SlideGrip => Key::KeysOnSlideGrip,
            Self::TurnGrip => Key::KeysOnTurnGrip,
            Self::Drag => Key::KeysOnDrag,
            Self::Snap => Key::KeysOnSnap,
            Self::Step => Key::KeysOnStep,
            Self::NumberField => Key::KeysOnNumber,
            Self::OwnTouch => Key::KeysOnOwnTouch,
            Self::Shift => Key::KeysOnShift,
        }
    }

    /// Its name for tests.
    pub(crate) fn id(self) -> &'static str {
        match self {
            Self::Page => "keys-page",
            Self::Sheet => "keys-sheet",
            Self::Palette => "keys-palette",
            Self::Fault => "keys-fault",
            Self::Torch => "keys-torch",
            Self::Height => "keys-height",
            Self::SlideGrip => "keys-slide-grip",
            Self::TurnGrip => "keys-turn-grip",
            Self::Drag => "keys-drag",
            Self::Snap => "keys-snap",
            Self::Step => "keys-step",
            Self::NumberField => "keys-number",
            Self::OwnTouch => "keys-own-touch",
            Self::Shift => "keys-shift",
        }
    }
}

/// What a key does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum KeyCommand {
    Undo,
    Redo,
    Help,
    /// Closes the drawer that is open, or the detail.
    CloseOpened,
    /// Starts the routine, or goes on with a paused run.
    Run,
    /// The same, one step of it.
    SingleStep,
    Projector,
    /// The next key says which fault is planted in secret.
    PlantFault,
    /// Plants the fault of this place among the kinds.
    PlantKind(usize),
    MoveInSecret,
    /// Asks the class what is wrong, shows the hands, and puts the question away.
    AskWhatIsWrong,
    /// Counts one hand for an answer, from 0.
    Guess(usize),
    /// Says how sure one is of a prediction, from 0.
    Sure(usize),
    Reveal,
    ClearFaults,
    NextPart,
    /// Turns the reference flag on or off.
    Reference,
    /// Locks the cell out, or makes it ready.
    LockOut,
    /// Turns the arc of the next run on or off.
    Arc,
    /// Adds a step to the routine.
    Add(Piece),
    /// Adds the step that fits best next.
    AddNext,
    /// One step along X, Y or Z of the work frame.
    Move([i8; 3]),
    /// Ten steps along X or Y.
    Leap([i8; 2]),
    /// The torch to its resting place.
    ToRest,
    /// The torch to the height at which a side is felt.
    ToFeelHeight,
    /// To the torch on the plan, and from there to its height.
    GoToTorch,
    /// To the steps.
    GoToSteps,
    /// To the card *Now*, and its question.
    GoToNow,
    /// One step, counter-clockwise seen from above where positive.
    Turn(i8),
    /// One step about the X axis.
    TiltX(i8),
    /// One step about the Y axis.
    TiltY(i8),
    /// Puts what is dragged back where it was.
    DropDrag,
    /// Lets what is dragged go anywhere, while the key is held down.
    DragFreely,
    /// To the next row of the routine, or the one before.
    GoToStep(i8),
    /// Moves the step by one row.
    MoveStep(i8),
    OpenStep,
    CloseStep,
    DeleteStep,
    /// Changes the number of a field by one step.
    Change(i8),
    /// Welds the part that waits in a shift.
    ShiftGoOn,
    /// Looks at what is chosen.
    ShiftLook,
    /// Calls the setter.
    ShiftStop,
}

/// A line of the table.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shortcut {
    pub(crate) scope: Scope,
    pub(crate) command: KeyCommand,
    /// Each of these does it.
    pub(crate) chords: &'static [Chord],
    /// What it does, in the help. Lines with the same text are one line there.
    pub(super) text: Key,
}

impl Shortcut {
    /// What it does, as the help says it.
    pub(crate) fn says(&self) -> &'static str {
        match self.command {
            KeyCommand::PlantKind(kind) => FAULT_KINDS.get(kind).map_or("", |kind| kind.says),
            _ => text(self.text),
        }
    }
}

/// A line for a kind of fault; in the help it has the name of the kind.
const fn fault(kind: usize, chords: &'static [Chord]) -> Shortcut {
    on(Scope::Fault, KeyCommand::PlantKind(kind), chords, Key::KeyPlantFault)
}

const fn on(scope: Scope, command: KeyCommand, chords: &'static [Chord], text: Key) -> Shortcut {
    Shortcut { scope, command, chords, text }
}

/// A line for a step of the palette; in the help it has the name of its button.
const fn add(piece: Piece, chords: &'static [Chord]) -> Shortcut {
    on(Scope::Palette, KeyCommand::Add(piece), chords, piece.name())
}

const UP: Chord = Chord::fine("ArrowUp");
const DOWN: Chord = Chord::fine("ArrowDown");
const LEFT: Chord = Chord::fine("ArrowLeft");
const RIGHT: Chord = Chord::fine("ArrowRight");
const PAGE_UP: Chord = Chord::fine("PageUp");
const PAGE_DOWN: Chord = Chord::fine("PageDown");
const HOME: Chord = Chord::fine("Home");
const END: Chord = Chord::fine("End");
const ESCAPE: Chord = Chord::plain("Escape");

/// Every key of the page.
#[allow(clippy::enum_glob_use, reason = "the table is read without prefixes")]
pub(crate) const SHORTCUTS: &[Shortcut] = {
    use KeyCommand::*;
    use Scope::*;
    &[
        on(Torch, Move([-1, 0, 0]), &[LEFT], Key::KeyTorchMove),
        on(Torch, Move([1, 0, 0]), &[RIGHT], Key::KeyTorchMove),
        on(Torch, Move([0, 1, 0]), &[UP], Key::KeyTorchMove),
        on(Torch, Move([0, -1, 0]), &[DOWN], Key::KeyTorchMove),
        on(Torch, Leap([-1, 0]), &[Chord::ctrl("ArrowLeft")], Key::KeyTorchLeap),
        on(Torch, Leap([1, 0]), &[Chord::ctrl("ArrowRight")], Key::KeyTorchLeap),
        on(Torch, Leap([0, 1]), &[Chord::ctrl("ArrowUp")], Key::KeyTorchLeap),
        on(Torch, Leap([0, -1]), &[Chord::ctrl("ArrowDown")], Key::KeyTorchLeap),
        on(Torch, Move([0, 0, 1]), &[PAGE_UP], Key::KeyTorchHeight),
        on(Torch, Move([0, 0, -1]), &[PAGE_DOWN], Key::KeyTorchHeight),
        on(Torch, ToRest, &[Chord::plain("Home")], Key::KeyToRest),
        on(Torch, ToFeelHeight, &[Chord::plain("End")], Key::KeyToFeelHeight),
        on(SlideGrip, Move([-1, 0, 0]), &[LEFT], Key::KeySlide),
        on(SlideGrip, Move([1, 0, 0]), &[RIGHT], Key::KeySlide),
        on(SlideGrip, Move([0, 1, 0]), &[UP], Key::KeySlide),
        on(SlideGrip, Move([0, -1, 0]), &[DOWN], Key::KeySlide),
        on(SlideGrip, Move([0, 0, 1]), &[PAGE_UP], Key::KeyLift),
        on(SlideGrip, Move([0, 0, -1]), &[PAGE_DOWN], Key::KeyLift),
        on(TurnGrip, Turn(1), &[UP, LEFT], Key::KeyTurn),
        on(TurnGrip, Turn(-1), &[DOWN, RIGHT], Key::KeyTurn),
        on(TurnGrip, TiltX(1), &[PAGE_UP], Key::KeyTiltX),
        on(TurnGrip, TiltX(-1), &[PAGE_DOWN], Key::KeyTiltX),
        on(TurnGrip, TiltY(1), &[HOME], Key::KeyTiltY),
        on(TurnGrip, TiltY(-1), &[END], Key::KeyTiltY),
        on(Height, Move([0, 0, 1]), &[UP, PAGE_UP], Key::KeyHeight),
        on(Height, Move([0, 0, -1]), &[DOWN, PAGE_DOWN], Key::KeyHeight),
        on(Drag, DropDrag, &[ESCAPE], Key::KeyDropDrag),
        on(Snap, DragFreely, &[Chord::held("Alt"), Chord::held("Control")], Key::KeyDragFreely),
        on(Step, GoToStep(-1), &[Chord::plain("ArrowUp")], Key::KeyGoToStep),
        on(Step, GoToStep(1), &[Chord::plain("ArrowDown")], Key::KeyGoToStep),
        on(Step, MoveStep(-1), &[Chord::alt("ArrowUp")], Key::KeyMoveStep),
        on(Step, MoveStep(1), &[Chord::alt("ArrowDown")], Key::KeyMoveStep),
        on(Step, OpenStep, &[Chord::plain("Enter")], Key::KeyOpenStep),
        on(Step, CloseStep, &[ESCAPE], Key::KeyCloseStep),
        on(Step, DeleteStep, &[Chord::plain("Delete")], Key::KeyDeleteStep),
        on(NumberField, Change(1), &[UP], Key::KeyChange),
        on(NumberField, Change(-1), &[DOWN], Key::KeyChange),
        on(OwnTouch, Move([-1, 0, 0]), &[LEFT], Key::KeyOwnTouch),
        on(OwnTouch, Move([1, 0, 0]), &[RIGHT], Key::KeyOwnTouch),
        on(OwnTouch, Move([0, 1, 0]), &[UP], Key::KeyOwnTouch),
        on(OwnTouch, Move([0, -1, 0]), &[DOWN], Key::KeyOwnTouch),
        on(Shift, ShiftGoOn, &[Chord::plain("G")], Key::ShiftGoOnAbout),
        on(Shift, ShiftLook, &[Chord::plain("L")], Key::KeyShiftLook),
        on(Shift, ShiftStop, &[Chord::plain("S")], Key::ShiftStop),
        on(Sheet, PlantFault, &[Chord::alt_or_sheet("F")], Key::KeyPlantFault),
        on(Sheet, MoveInSecret, &[Chord::alt_or_sheet("M")], Key::KeyMoveInSecret),
        on(Sheet, AskWhatIsWrong, &[Chord::alt_or_sheet("Z")], Key::KeyAskWhatIsWrong),
        on(Sheet, Reveal, &[Chord::alt_or_sheet("R")], Key::KeyReveal),
        on(Sheet, ClearFaults, &[Chord::alt_or_sheet("C")], Key::KeyClearFaults),
        on(Sheet, NextPart, &[Chord::alt_or_sheet("N")], Key::KeyNextPart),
        on(Sheet, Projector, &[Chord::alt_or_sheet("P")], Key::KeyProjector),
        on(Sheet, Reference, &[Chord::alt_or_sheet("B")], Key::KeyReference),
        on(Sheet, LockOut, &[Chord::alt_or_sheet("X")], Key::KeyLockOut),
        on(Sheet, Arc, &[Chord::alt_or_sheet("Y")], Key::KeyArc),
        on(Sheet, GoToTorch, &[Chord::alt_or_sheet("V")], Key::KeyGoToTorch),
        on(Sheet, GoToSteps, &[Chord::alt_or_sheet("K")], Key::KeyGoToSteps),
        on(Sheet, GoToNow, &[Chord::alt_or_sheet("J")], Key::KeyGoToNow),
        on(Palette, AddNext, &[Chord::alt_or_sheet("A")], Key::KeyAddNext),
        add(Piece::Home, &[Chord::alt_or_sheet("H")]),
        add(Piece::GoTo, &[Chord::alt_or_sheet("G")]),
        add(Piece::SensingOn, &[Chord::alt_or_sheet("S")]),
        add(Piece::Feel, &[Chord::alt_or_sheet("E")]),
        add(Piece::SensingOff, &[Chord::alt_or_sheet("O")]),
        add(Piece::Find, &[Chord::alt_or_sheet("I")]),
        add(Piece::Follow, &[Chord::alt_or_sheet("L")]),
        add(Piece::WeldFrom, &[Chord::alt_or_sheet("W")]),
        add(Piece::WeldThrough, &[Chord::alt_or_sheet("U")]),
        add(Piece::WeldTo, &[Chord::alt_or_sheet("D")]),
        add(Piece::StopFollowing, &[Chord::alt_or_sheet("Q")]),
        add(Piece::TrimWire, &[Chord::alt_or_sheet("T")]),
        fault(0, &[Chord::alt_or_sheet("A")]),
        fault(1, &[Chord::alt_or_sheet("B")]),
        fault(2, &[Chord::alt_or_sheet("C")]),
        fault(3, &[Chord::alt_or_sheet("D")]),
        fault(4, &[Chord::alt_or_sheet("E")]),
        fault(5, &[Chord::alt_or_sheet("F")]),
        fault(6, &[Chord::alt_or_sheet("G")]),
        fault(7, &[Chord::alt_or_sheet("H")]),
        fault(8, &[Chord::alt_or_sheet("I")]),
        fault(9, &[Chord::alt_or_sheet("J")]),
        fault(10, &[Chord::alt_or_sheet("K")]),
        fault(11, &[Chord::alt_or_sheet("L")]),
        fault(12, &[Chord::alt_or_sheet("M")]),
        fault(13, &[Chord::alt_or_sheet("N")]),
        fault(14, &[Chord::alt_or_sheet("O")]),
        fault(15, &[Chord::alt_or_sheet("P")]),
        fault(16, &[Chord::alt_or_sheet("Q")]),
        on(Page, Run, &[Chord::ctrl("Enter")], Key::KeyRun),
        on(Page, SingleStep, &[Chord::ctrl_shift("Enter")], Key::KeySingleStep),
        on(Page, Undo, &[Chord::ctrl("Z")], Key::KeyUndo),
        on(Page, Redo, &[Chord::ctrl("Y"), Chord::ctrl_shift("Z")], Key::KeyRedo),
        on(Page, Help, &[Chord::plain("?")], Key::KeyHelp),
        on(Page, CloseOpened, &[ESCAPE], Key::KeyCloseOpened),
        on(Page, Guess(0), &[Chord::plain("1")], Key::KeyGuess),
        on(Page, Guess(1), &[Chord::plain("2")], Key::KeyGuess),
        on(Page, Guess(2), &[Chord::plain("3")], Key::KeyGuess),
        on(Page, Guess(3), &[Chord::plain("4")], Key::KeyGuess),
        on(Page, Sure(0), &[Chord::plain("7")], Key::KeySure),
        on(Page, Sure(1), &[Chord::plain("8")], Key::KeySure),
        on(Page, Sure(2), &[Chord::plain("9")], Key::KeySure),
    ]
};
