#include "plan/stock/named.hpp"

#include <algorithm>

namespace budwood::plan {

std::vector<std::string> names_in(const std::string& text) {
  std::vector<std::string> out;
  std::size_t at = 0;
  while (at <= text.size()) {
    const std::size_t end = std::min(text.find(',', at), text.size());
    std::size_t first = at;
    std::size_t last = end;
    while (first < last && text[first] == ' ') ++first;
    while (last > first && text[last - 1] == ' ') --last;
    out.push_back(text.substr(first, last - first));
    at = end + 1;
  }
  return out;
}

Named named_in(const book::Batch& batch, const std::string& supply, const book::Site& site) {
  const auto found = batch.lots.find(supply);
  if (found == batch.lots.end()) return {};
  Named out{true, names_in(found->second.value)};
  const bool all_known = std::all_of(out.names.begin(), out.names.end(), [&](const auto& name) {
    return site.lots.contains(name) || site.mothers.contains(name);
  });
  if (!all_known) out.names.clear();
  return out;
}

bool Named::takes(const std::string& name, const std::string& of_cultivar,
                  const std::string& cultivar) const {
  if (said) return std::find(names.begin(), names.end(), name) != names.end();
  return of_cultivar.empty() || of_cultivar == cultivar;
}

namespace {

/// Of which supply a lot or mothers are; "" when there is no such name.
std::string supply_named(const book::Site& site, const std::string& name) {
  if (const auto lot = site.lots.find(name); lot != site.lots.end()) return lot->second.of.value;
  const auto mothers = site.mothers.find(name);
  return mothers == site.mothers.end() ? "" : mothers->second.of.value;
}

/// The lots and mothers of a supply.
std::vector<std::string> names_of(const book::Site& site, const std::string& supply) {
  std::vector<std::string> out;
  for (const auto& [name, lot] : site.lots) {
    if (lot.of.value == supply) out.push_back(name);
  }
  for (const auto& [name, mothers] : site.mothers) {
    if (mothers.of.value == supply) out.push_back(name);
  }
  return out;
}

}  // namespace

void check_named(const Plan& plan, text::Diagnostics& diagnostics) {
  const book::Site& site = plan.book->site;
  std::string last;
  for (const book::Batch& batch : plan.book->batches) {
    // A series and cultivars are written once.
    const std::string& written = batch.split_from.empty() ? batch.id.value : batch.split_from;
    if (written == last) continue;
    last = written;
    for (const auto& [supply, lot] : batch.lots) {
      for (const std::string& name : names_in(lot.value)) {
        const std::string of = supply_named(site, name);
        if (of == supply) continue;
        const std::vector<std::string> known = names_of(site, supply);
        if (!of.empty()) {
          diagnostics.error(
              "wrong-lot", lot.span, "`" + name + "` is of `" + of + "`, not of `" + supply + "`.",
              known.empty() ? "Name it beside `" + of + "`."
                            : "Of `" + supply + "` there is " + text::list_words(known) + ".");
        } else if (const std::string advice = text::did_you_mean(name, known); !advice.empty()) {
          diagnostics.warning("unknown-lot", lot.span,
                              "There is no lot and there are no mother plants named `" + name +
                                  "`; the batch is taken to have material of its own.",
                              advice);
        }
      }
    }
  }
}

}  // namespace budwood::plan
