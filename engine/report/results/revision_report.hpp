#pragma once

#include <iosfwd>
#include <string>

#include "report/formats/table.hpp"
#include "revision/revise.hpp"

namespace budwood::report {

/// Tells what the next edition says otherwise, with what it rests on, and what stays, with why.
void write_revision(std::ostream& out, const language::Protocol& before,
                    const revision::Revision& next, const std::string& file,
                    const Style& style = {});

}  // namespace budwood::report
