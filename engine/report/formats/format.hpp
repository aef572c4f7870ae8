#pragma once

namespace budwood::report {

enum class Format { table, csv, json };

}  // namespace budwood::report
