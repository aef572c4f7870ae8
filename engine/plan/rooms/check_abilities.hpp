/// Private to this module.
#pragma once

namespace budwood::plan {

struct Plan;

/// Adds a conflict (`room-cannot`) for each stage that asks for what its room cannot do, before the
/// season and not on its first cold night. Only rooms of which the site says what they can (`can:`)
/// are looked at; what the weather or the sun may do by itself is not asked of the room: warmth and
/// cold by the temperatures of the site, light by the length of the day and a clear sky.
void check_abilities(Plan& plan);

}  // namespace budwood::plan
