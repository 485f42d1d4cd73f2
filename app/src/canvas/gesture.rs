//! Pointer events in, gestures out: the one place that decides whether a finger tapped, dragged, pinched or held.
//!
//! A pure state machine: no page, no clock (time comes with each event). It never knows parts or marks; the caller says
//! what lies under the first finger. Rules: a tap may wander a little, more for a finger than for a mouse; a second
//! finger cancels the tap; a finger that rests half a second is a long press; a cancelled pointer commits nothing; once
//! a pen was used, fingers only pan and zoom until the person switches back.

use super::camera::Xy;

/// Rest before a press counts as long, milliseconds.
pub const LONG_PRESS_MS: f64 = 500.0;
/// A swipe to the next place is at least this long, CSS pixels.
const SWIPE_PX: f64 = 56.0;
/// Base reach of a tap around its point, CSS pixels.
const SLOP_PX: f64 = 12.0;
/// Reach of a broad finger at most, CSS pixels.
const SLOP_MAX_PX: f64 = 20.0;

/// What touches the screen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A finger.
    Touch,
    /// A pen.
    Pen,
    /// A mouse or trackpad.
    Mouse,
}

impl Kind {
    /// From the event's `pointerType`; anything unknown is a mouse.
    #[must_use]
    pub fn of(text: &str) -> Self {
        match text {
            "touch" => Self::Touch,
            "pen" => Self::Pen,
            _ => Self::Mouse,
        }
    }

    /// How far a tap may wander, CSS pixels.
    fn wander(self) -> f64 {
        match self {
            Self::Touch => 12.0,
            Self::Pen => 6.0,
            Self::Mouse => 4.0,
        }
    }
}

/// One pointer event.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pointer {
    /// The pointer's id.
    pub id: i32,
    /// What it is.
    pub kind: Kind,
    /// Where, CSS pixels on the map.
    pub at: Xy,
    /// Breadth of the contact, CSS pixels; 0 or 1 where unknown.
    pub breadth: f64,
    /// When, milliseconds on the page's clock.
    pub time: f64,
}

/// What lies under the first finger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grab {
    /// The truck or the ground.
    Map,
    /// The selected mark itself: a drag moves it.
    Mark,
    /// A handle of the selected mark, by number: a drag sizes it.
    Handle(usize),
}

/// What the fingers did.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Gesture {
    /// A tap: where, its reach in pixels, and the time of the event.
    Tap {
        /// Where.
        at: Xy,
        /// Reach around it.
        slop: f64,
        /// Time of the lifting.
        time: f64,
    },
    /// A press of half a second.
    LongPress {
        /// Where.
        at: Xy,
        /// Reach around it.
        slop: f64,
    },
    /// The map follows the finger by this much.
    Pan(Xy),
    /// Two fingers: shift, growth, and the middle between them now.
    Pinch {
        /// Shift of the middle.
        by: Xy,
        /// Growth, 1 = none.
        factor: f64,
        /// Middle now.
        about: Xy,
    },
    /// A sideways sweep over a map that is not zoomed; true = to the left.
    Swipe(bool),
    /// The grabbed mark or handle is at this drag: from where the finger went down to where it is.
    Drag {
        /// What was grabbed.
        grab: Grab,
        /// Where the finger went down.
        from: Xy,
        /// Where it is.
        to: Xy,
    },
    /// The drag ended and counts.
    Drop,
    /// The drag was broken off: everything as before.
    Abort,
}

#[derive(Clone, Copy, Debug, PartialEq)]
struct Finger {
    id: i32,
    kind: Kind,
    start: Xy,
    at: Xy,
    slop: f64,
    since: f64,
}

#[derive(Clone, Copy, Debug, PartialEq)]
enum State {
    Idle,
    /// One finger down, still a tap.
    Pending(Grab),
    /// One finger drags a mark or handle.
    Dragging(Grab),
    /// One finger pans.
    Panning,
    /// One finger sweeps over a map that is not zoomed.
    Sweeping,
    /// Two fingers.
    Pinching,
    /// Fingers are down but nothing more may come of them.
    Spent,
}

/// The gesture machine of one map.
#[derive(Clone, Debug)]
pub struct Machine {
    state: State,
    fingers: Vec<Finger>,
    pen_only: bool,
}

impl Default for Machine {
    fn default() -> Self {
        Self { state: State::Idle, fingers: Vec::with_capacity(2), pen_only: false }
    }
}

impl Machine {
    /// Whether a pen was used, so that fingers only pan and zoom.
    #[must_use]
    pub fn pen_only(&self) -> bool {
        self.pen_only
    }

    /// Lets fingers mark again after a pen was used.
    pub fn allow_fingers(&mut self) {
        self.pen_only = false;
    }

    /// When a long press falls due, if a finger rests: milliseconds on the page's clock.
    #[must_use]
    pub fn due(&self) -> Option<f64> {
        match (self.state, self.fingers.first()) {
            (State::Pending(_), Some(finger)) => Some(finger.since + LONG_PRESS_MS),
            _ => None,
        }
    }

    /// A pointer went down on `grab`.
    pub fn down(&mut self, pointer: Pointer, grab: Grab) -> Option<Gesture> {
        if pointer.kind == Kind::Pen {
            self.pen_only = true;
        }
        self.fingers.retain(|finger| finger.id != pointer.id);
        if self.fingers.len() >= 2 {
            return None;
        }
        self.fingers.push(Finger {
            id: pointer.id,
            kind: pointer.kind,
            start: pointer.at,
            at: pointer.at,
            slop: SLOP_PX.max((pointer.breadth / 2.0).min(SLOP_MAX_PX)),
            since: pointer.time,
        });
        if self.fingers.len() == 2 {
            let broken = matches!(self.state, State::Dragging(_));
            self.state = State::Pinching;
            return broken.then_some(Gesture::Abort);
        }
        let only_pans = self.pen_only && pointer.kind == Kind::Touch;
        self.state = State::Pending(if only_pans { Grab::Map } else { grab });
        None
    }

    /// A pointer moved; `zoomed` says whether the map is larger than fitting.
    pub fn moved(&mut self, pointer: Pointer, zoomed: bool) -> Option<Gesture> {
        let index = self.fingers.iter().position(|finger| finger.id == pointer.id)?;
        if self.state == State::Pinching {
            return self.pinched(index, pointer.at);
        }
        let finger = &mut self.fingers[index];
        let before = finger.at;
        finger.at = pointer.at;
        let finger = *finger;
        if let State::Pending(grab) = self.state {
            if distance(finger.start, finger.at) <= finger.kind.wander() {
                return None;
            }
            self.state = match grab {
                Grab::Map if zoomed => State::Panning,
                Grab::Map => State::Sweeping,
                grab => State::Dragging(grab),
            };
            if self.state == State::Panning {
                return Some(Gesture::Pan((finger.at.0 - finger.start.0, finger.at.1 - finger.start.1)));
            }
        }
        match self.state {
            State::Panning => Some(Gesture::Pan((finger.at.0 - before.0, finger.at.1 - before.1))),
            State::Dragging(grab) => Some(Gesture::Drag { grab, from: finger.start, to: finger.at }),
            _ => None,
        }
    }

    fn pinched(&mut self, index: usize, at: Xy) -> Option<Gesture> {
        let [one, other] = self.fingers.as_slice() else { return None };
        let (middle, apart) = (middle(one.at, other.at), distance(one.at, other.at));
        self.fingers[index].at = at;
        let (one, other) = (self.fingers[0].at, self.fingers[1].at);
        let (now, wide) = (self::middle(one, other), distance(one, other));
        let factor = if apart > 1.0 && wide > 1.0 { wide / apart } else { 1.0 };
        Some(Gesture::Pinch { by: (now.0 - middle.0, now.1 - middle.1), factor, about: now })
    }

    /// A pointer was lifted.
    pub fn up(&mut self, pointer: Pointer) -> Option<Gesture> {
        let index = self.fingers.iter().position(|finger| finger.id == pointer.id)?;
        let mut finger = self.fingers.remove(index);
        finger.at = pointer.at;
        let state = self.state;
        // The finger that stays after a pinch marks nothing until it, too, is lifted.
        self.state = if self.fingers.is_empty() { State::Idle } else { State::Spent };
        match state {
            State::Pending(_) if self.pen_only && finger.kind == Kind::Touch => None,
            State::Pending(_) if distance(finger.start, finger.at) <= finger.kind.wander() => {
                Some(Gesture::Tap { at: finger.start, slop: finger.slop, time: pointer.time })
            }
            State::Dragging(_) => Some(Gesture::Drop),
            State::Sweeping => {
                let (across, down) = (finger.at.0 - finger.start.0, finger.at.1 - finger.start.1);
                (across.abs() >= SWIPE_PX && across.abs() > 1.5 * down.abs()).then_some(Gesture::Swipe(across < 0.0))
            }
            _ => None,
        }
    }

    /// The system took a pointer away: nothing counts.
    pub fn cancelled(&mut self, id: i32) -> Option<Gesture> {
        self.fingers.retain(|finger| finger.id != id);
        let dragging = matches!(self.state, State::Dragging(_));
        self.state = if self.fingers.is_empty() { State::Idle } else { State::Spent };
        dragging.then_some(Gesture::Abort)
    }

    /// The clock moved on to `time`.
    pub fn tick(&mut self, time: f64) -> Option<Gesture> {
        let due = self.due()?;
        let finger = *self.fingers.first()?;
        if time + 1.0 < due || (self.pen_only && finger.kind == Kind::Touch) {
            return None;
        }
        self.state = State::Spent;
        Some(Gesture::LongPress { at: finger.start, slop: finger.slop })
    }
}

fn distance(one: Xy, other: Xy) -> f64 {
    (one.0 - other.0).hypot(one.1 - other.1)
}

fn middle(one: Xy, other: Xy) -> Xy {
    ((one.0 + other.0) / 2.0, (one.1 + other.1) / 2.0)
}
