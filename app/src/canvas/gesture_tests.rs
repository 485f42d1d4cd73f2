//! The gesture machine, tried finger by finger without a browser.

use super::camera::Xy;
use super::gesture::{Gesture, Grab, Kind, LONG_PRESS_MS, Machine, Pointer};
#[cfg(target_arch = "wasm32")]
use wasm_bindgen_test::wasm_bindgen_test as test;

fn finger(id: i32, at: Xy, time: f64) -> Pointer {
    Pointer { id, kind: Kind::Touch, at, breadth: 0.0, time }
}

fn of(kind: Kind, at: Xy, time: f64) -> Pointer {
    Pointer { id: 1, kind, at, breadth: 0.0, time }
}

#[test]
fn a_short_touch_is_a_tap_where_it_began() {
    let mut machine = Machine::default();
    assert_eq!(machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Map), None);
    assert_eq!(machine.moved(finger(1, (108.0, 104.0), 40.0), false), None);
    let tap = machine.up(finger(1, (108.0, 104.0), 80.0));
    assert_eq!(tap, Some(Gesture::Tap { at: (100.0, 100.0), slop: 12.0, time: 80.0 }));
}

#[test]
fn the_wander_of_a_tap_depends_on_what_touches() {
    for (kind, within, beyond) in [(Kind::Touch, 11.9, 12.1), (Kind::Pen, 5.9, 6.1), (Kind::Mouse, 3.9, 4.1)] {
        for (by, taps) in [(within, true), (beyond, false)] {
            let mut machine = Machine::default();
            machine.down(of(kind, (50.0, 50.0), 0.0), Grab::Map);
            machine.moved(of(kind, (50.0 + by, 50.0), 10.0), false);
            let end = machine.up(of(kind, (50.0 + by, 50.0), 20.0));
            assert_eq!(matches!(end, Some(Gesture::Tap { .. })), taps, "{kind:?} {by}");
        }
    }
}

#[test]
fn a_broad_finger_reaches_further_but_not_without_limit() {
    for (breadth, slop) in [(0.0, 12.0), (30.0, 15.0), (90.0, 20.0)] {
        let mut machine = Machine::default();
        let pointer = Pointer { breadth, ..finger(1, (5.0, 5.0), 0.0) };
        machine.down(pointer, Grab::Map);
        assert_eq!(machine.up(pointer), Some(Gesture::Tap { at: (5.0, 5.0), slop, time: 0.0 }));
    }
}

#[test]
fn a_gloved_hand_may_press_as_long_as_it_likes_until_the_long_press_speaks() {
    let mut machine = Machine::default();
    machine.down(finger(1, (9.0, 9.0), 1000.0), Grab::Map);
    assert_eq!(machine.due(), Some(1000.0 + LONG_PRESS_MS));
    assert_eq!(machine.tick(1200.0), None);
    assert_eq!(machine.tick(1000.0 + LONG_PRESS_MS), Some(Gesture::LongPress { at: (9.0, 9.0), slop: 12.0 }));
    assert_eq!(machine.up(finger(1, (9.0, 9.0), 1700.0)), None, "a long press is not a tap too");
    assert_eq!(machine.due(), None);
}

#[test]
fn a_second_finger_cancels_the_tap_and_pinches() {
    let mut machine = Machine::default();
    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Map);
    assert_eq!(machine.down(finger(2, (200.0, 100.0), 20.0), Grab::Map), None);
    let pinch = machine.moved(finger(2, (300.0, 100.0), 40.0), false);
    assert_eq!(pinch, Some(Gesture::Pinch { by: (50.0, 0.0), factor: 2.0, about: (200.0, 100.0) }));
    assert_eq!(machine.up(finger(2, (300.0, 100.0), 60.0)), None);
    assert_eq!(machine.moved(finger(1, (160.0, 100.0), 70.0), true), None, "the finger that stays does nothing more");
    assert_eq!(machine.up(finger(1, (160.0, 100.0), 80.0)), None);
    machine.down(finger(3, (10.0, 10.0), 100.0), Grab::Map);
    assert!(matches!(machine.up(finger(3, (10.0, 10.0), 120.0)), Some(Gesture::Tap { .. })), "then all is as new");
}

#[test]
fn a_drag_pans_a_zoomed_map_and_sweeps_one_that_fits() {
    let mut machine = Machine::default();
    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Map);
    assert_eq!(machine.moved(finger(1, (130.0, 110.0), 10.0), true), Some(Gesture::Pan((30.0, 10.0))));
    assert_eq!(machine.moved(finger(1, (135.0, 110.0), 20.0), true), Some(Gesture::Pan((5.0, 0.0))));
    assert_eq!(machine.up(finger(1, (135.0, 110.0), 30.0)), None);

    for (to, expected) in [((20.0, 105.0), Some(Gesture::Swipe(true))), ((190.0, 90.0), Some(Gesture::Swipe(false)))] {
        machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Map);
        assert_eq!(machine.moved(finger(1, to, 10.0), false), None);
        assert_eq!(machine.up(finger(1, to, 20.0)), expected);
    }
    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Map);
    machine.moved(finger(1, (170.0, 200.0), 10.0), false);
    assert_eq!(machine.up(finger(1, (170.0, 200.0), 20.0)), None, "a slanting drag is no sweep");
}

#[test]
fn a_drag_on_the_selected_mark_moves_it_and_can_be_broken_off() {
    let mut machine = Machine::default();
    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Handle(1));
    let drag = machine.moved(finger(1, (100.0, 140.0), 10.0), false);
    assert_eq!(drag, Some(Gesture::Drag { grab: Grab::Handle(1), from: (100.0, 100.0), to: (100.0, 140.0) }));
    assert_eq!(machine.up(finger(1, (100.0, 140.0), 20.0)), Some(Gesture::Drop));

    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Mark);
    machine.moved(finger(1, (100.0, 140.0), 10.0), true);
    assert_eq!(machine.down(finger(2, (200.0, 100.0), 20.0), Grab::Map), Some(Gesture::Abort));
    machine.cancelled(1);
    machine.cancelled(2);

    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Mark);
    machine.moved(finger(1, (100.0, 140.0), 10.0), false);
    assert_eq!(machine.cancelled(1), Some(Gesture::Abort));
}

#[test]
fn a_cancelled_pointer_commits_nothing() {
    let mut machine = Machine::default();
    machine.down(finger(1, (100.0, 100.0), 0.0), Grab::Map);
    assert_eq!(machine.cancelled(1), None);
    assert_eq!(machine.up(finger(1, (100.0, 100.0), 30.0)), None);
    assert_eq!(machine.tick(9999.0), None);
}

#[test]
fn after_a_pen_fingers_only_pan_and_zoom_until_they_are_let_in_again() {
    let mut machine = Machine::default();
    machine.down(of(Kind::Pen, (10.0, 10.0), 0.0), Grab::Map);
    assert!(matches!(machine.up(of(Kind::Pen, (10.0, 10.0), 10.0)), Some(Gesture::Tap { .. })));
    assert!(machine.pen_only());
    machine.down(finger(1, (100.0, 100.0), 20.0), Grab::Mark);
    assert_eq!(machine.up(finger(1, (100.0, 100.0), 30.0)), None, "the palm marks nothing");
    machine.down(finger(1, (100.0, 100.0), 40.0), Grab::Mark);
    assert_eq!(machine.moved(finger(1, (150.0, 100.0), 50.0), true), Some(Gesture::Pan((50.0, 0.0))));
    machine.up(finger(1, (150.0, 100.0), 60.0));
    machine.allow_fingers();
    machine.down(finger(1, (100.0, 100.0), 70.0), Grab::Map);
    assert!(matches!(machine.up(finger(1, (100.0, 100.0), 80.0)), Some(Gesture::Tap { .. })));
}
