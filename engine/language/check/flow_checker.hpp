/// `starts within` binds two dates, either way round, so it is left out of the order in which
/// stages wait for each other.
#pragma once

#include "language/model.hpp"

namespace budwood::language {

/// Works out which stage takes its plants from which, and reports parts that are never joined or
/// never finished, joins that cannot be, and stages that wait for each other.
void check_flow(Protocol& protocol, text::Diagnostics& diagnostics);

/// Reports what work takes, or how long it is, for each of a supply that was not used before.
void check_shares(const Protocol& protocol, text::Diagnostics& diagnostics);

/// Warns of what is recorded under a name that is nearly that of an observation which nobody
/// records.
void check_records(const Protocol& protocol, text::Diagnostics& diagnostics);

}  // namespace budwood::language
