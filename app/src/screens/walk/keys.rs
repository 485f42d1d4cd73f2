//! The keyboard's way round the truck: from part to part by arrows, marking, removing, zooming, leaving.
//!
//! Moves real focus, one part in the tab order. Decides nothing.

use super::state::Walk;
use crate::platform::page;
use leptos::ev;
use leptos::prelude::*;
use model::ids::PartId;
use model::scene;
use model::terms::Direction;

/// The keyboard's way: arrows to the nearest part, Enter marks, Delete removes, plus and minus zoom, Escape leaves.
pub fn pressed(walk: Walk, event: &ev::KeyboardEvent) {
    let Some(part) = page::attribute_of_target(event, "data-part").map(PartId::from) else { return };
    let scene = walk.scene.get_untracked();
    let towards = |direction| scene::neighbour(&scene, &part, direction);
    let outermost = |sign: f64| {
        let items = scene.panels.iter().flat_map(|panel| panel.items.iter());
        items
            .min_by(|one, other| (sign * one.bounds.centre().a).total_cmp(&(sign * other.bounds.centre().a)))
            .map(|item| item.part.clone())
    };
    let next = match event.key().as_str() {
        "ArrowLeft" => towards(Direction::Forward),
        "ArrowRight" => towards(Direction::Rearward),
        "ArrowUp" => towards(Direction::Up),
        "ArrowDown" => towards(Direction::Down),
        "Home" => outermost(1.0),
        "End" => outermost(-1.0),
        "Enter" | " " => {
            event.prevent_default();
            let marked = walk
                .planned
                .job
                .with_untracked(|job| job.as_ref().is_some_and(|job| job.marks.values().any(|m| m.part == part)));
            if marked && walk.part.get_untracked().as_ref() != Some(&part) {
                walk.open(part);
            } else {
                walk.put_inside(&part);
            }
            return;
        }
        "Delete" | "Backspace" => {
            event.prevent_default();
            walk.remove();
            return;
        }
        "+" | "=" => {
            walk.zoom(1.5);
            return;
        }
        "-" => {
            walk.zoom(1.0 / 1.5);
            return;
        }
        "Escape" => {
            walk.leave();
            return;
        }
        _ => return,
    };
    event.prevent_default();
    if let Some(next) = next {
        walk.focus.set(next.to_string());
        page::focus(&format!(".map-svg [data-part=\"{}\"]", next.0));
    }
}
