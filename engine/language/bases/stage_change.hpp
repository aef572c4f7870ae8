/// Private to this module.
#pragma once

#include "language/tree/syntax.hpp"
#include "text/text.hpp"

namespace budwood::language {

/// Changes a stage. A statement takes the place of those of its kind: of one setting all that was
/// said of it (by day or by night alone, where it says so), of works the one with the same title.
/// Notes, sources, and what the stage does not have yet, are added.
void change_stage(const syntax::StageChange& change, syntax::Stage& stage,
                  text::Diagnostics& diagnostics);

/// Takes out of a stage what a `drop` names; reports when the stage does not have it.
void drop_from(const syntax::Drop& drop, syntax::Stage& stage, text::Diagnostics& diagnostics);

}  // namespace budwood::language
