//! Rules on removal space.

pub(crate) mod cap_and_tail;
mod jack_case;
pub(crate) mod jack_envelope;
pub(crate) mod jack_stress;
pub(crate) mod jack_take_off;
pub(crate) mod jack_thread_on;
pub(crate) mod live_tendon_in_the_way;
pub(crate) mod missing;
pub(crate) mod movement_eats_room;
pub(crate) mod new_trumpet;
mod said;
pub(crate) mod stated_against_bay;
pub(crate) mod stub;
pub(crate) mod tail_short;
