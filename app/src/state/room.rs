//! Watches how much room is left, and says so before it is short. Never deletes anything by itself.

use super::AppState;
use crate::platform::room;
use crate::words::{megabytes, tf};
use leptos::task::spawn_local;

/// Below this share of what the browser allows, room is short.
const SHORT_SHARE: f64 = 0.1;
/// Below this many bytes it is short whatever the share: some thirty photos.
const SHORT_BYTES: f64 = 20e6;

impl AppState {
    /// Looks at the room that is left and tells the person, once until there is more, when it is short.
    pub(super) fn watch_room(self) {
        spawn_local(async move {
            let found = room::room().await;
            let (Some(used), Some(most)) = (found.used, found.most) else { return };
            let free = (most - used).max(0.0);
            let short = free < SHORT_BYTES || free < most * SHORT_SHARE;
            let told = self.desk(|desk| std::mem::replace(&mut desk.room_told, short));
            if short && !told {
                self.notify(true, tf("room-short", &[("free", &megabytes(free))]), false);
            }
        });
    }
}
