#include <set>

#include "book/batches/batches_reader.hpp"
#include "book/book.hpp"
#include "yaml_input.hpp"

namespace {

using namespace budwood;

/// What holds of every batch that is read, and what follows may rely on.
void check_batch(const book::Batch& batch) {
  const int dates = int{batch.ready.has_value()} + int{batch.start.has_value()} +
                    int{batch.not_before.has_value()};
  fuzz::must(dates == 1, "a batch with no date, or with two");
  fuzz::must(batch.plants.value >= 1 && batch.plants.value <= 10'000'000, "a batch of no size");
  fuzz::must(!batch.id.value.empty() && !batch.protocol.value.empty(), "a batch without a name");
  fuzz::must(!batch.sure || (batch.sure->value > 0 && batch.sure->value < 1), "surer than sure");
}

std::string written(const std::vector<book::Batch>& batches) {
  std::string out = "batches:\n";
  for (const book::Batch& batch : batches) out += book::batch_yaml(batch);
  return out;
}

}  // namespace

/// Any bytes as batches.yaml: what is proposed in its form can be read, and says the same.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  text::Sources sources;
  text::Diagnostics diagnostics;
  const text::Source& source = sources.add("batches.yaml", fuzz::bytes_of(data, size));
  const auto tree = fuzz::tree_of(source, diagnostics);
  std::vector<book::Batch> batches;
  if (tree) batches = book::read_batches(*tree, {}, diagnostics);
  fuzz::check_told(diagnostics, source);
  fuzz::accepted = !batches.empty() && !diagnostics.has_errors();
  std::set<std::string> names;
  std::vector<book::Batch> proposed;
  for (const book::Batch& batch : batches) {
    check_batch(batch);
    // Those of several cultivars are never proposed.
    if (!batch.cultivar.empty() || !names.insert(batch.id.value).second) continue;
    proposed.push_back(batch);
    std::erase_if(proposed.back().pins, [](const book::Pin& pin) { return pin.recorded; });
  }
  if (proposed.empty()) return 0;
  text::Diagnostics none;
  const std::string yaml = written(proposed);
  const auto again = fuzz::tree_of(sources.add("proposed.yaml", yaml), none);
  fuzz::must(again.has_value(), "proposed batches that are no YAML");
  const std::vector<book::Batch> same = book::read_batches(*again, {}, none);
  fuzz::must(same.size() == proposed.size(), "proposed batches that cannot be read");
  fuzz::must(written(same) == yaml, "proposed batches that say something else");
  return 0;
}
