/// Work that is done only `if` something is seen. Private to this module.
#pragma once

#include <cstddef>

#include "language/model.hpp"

namespace budwood::plan {

/// Working days come soon enough: common practice, no published source.
inline constexpr int days_for_conditional_work = 7;

/// Whether a protocol has work that is done only if something is seen.
bool has_conditional_work(const language::Protocol& protocol);

/// The protocol with that work written behind the other work of its stages, without days, so that
/// it has numbers, labour and supplies like any other and an order a turn that somebody asks for.
language::Protocol with_conditional_work(language::Protocol protocol);

/// The number of such a work in a stage of such a protocol.
language::WorkId conditional_work(const language::Stage& stage, std::size_t contingency,
                                  std::size_t action);

}  // namespace budwood::plan
