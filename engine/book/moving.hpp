/// Plants are carried from room to room, spaced and picked, also where no protocol says so. Private
/// to this module.
#pragma once

#include "book/site/site.hpp"
#include "book/yaml/keys.hpp"
#include "book/yaml/yaml_tree.hpp"
#include "language/model.hpp"

namespace budwood::book {

/// Reads `moving: {rate: 400 per hour, crew: benches}`; `spacing:` and `picking:` have the same
/// form.
std::optional<Site::Moving> read_moving(const Node& node, KeyMap map,
                                        text::Diagnostics& diagnostics);

/// Adds the work of carrying plants, at the site's usual rate, to every stage that has them from
/// another room and does not say `move` itself. It comes behind the work that is written, so that
/// orders keep their names.
void add_moves(const Site::Moving& moving, language::Protocol& protocol);

/// Gives the spacing that follows from the space of stages the site's rate and crew.
void set_spacing(const Site::Moving& spacing, language::Protocol& protocol);

/// The same for picking and sorting that follow from what stages pick and sort.
void set_picking(const Site::Moving& picking, language::Protocol& protocol);

}  // namespace budwood::book
