/// The picture of a protocol shows days to spare, not float. With people at work every day and
/// a day to be ready by, every stage is as late as it can be; whoever looks at the method wants
/// to know which stage could take longer without making the whole longer.
#pragma once

#include <memory>
#include <optional>

#include "sheet/sheet.hpp"
#include "sheet/template/template.hpp"

namespace budwood::graph {

/// A protocol by itself, without a site: one batch of a hundred plants with its usual inputs,
/// people working every day, as short as can be. The lengths of stages that follow a site's
/// temperatures stand for any. Nothing when seasons and waits leave no such course.
std::optional<sheet::Sheet> usual_course(const std::shared_ptr<const sheet::Template>& t);

}  // namespace budwood::graph
