/// How fast protocols are read and checked. The aim: 30 000 lines a second on one core once the
/// parser is warm. `read` is the whole; `parse` stands beside it without the check, and text full
/// of mistakes shows what reporting costs.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <string>

#include "language/language.hpp"
#include "language/parse/parse.hpp"

namespace {

using namespace budwood;

std::string stage(int number, const std::string& part) {
  const std::string n = std::to_string(number);
  return "  stage s" + n + " of " + part + " \"Stage " + n + R"(" {
    lasts 6 to 9 days usually 7 days
    may wait 2 days
    room bench
    space ceil(plants / 50) trays
    keep air 24 degC by day
    keep air 19 degC by night
    keep humidity 95 % until day 3
    taper humidity 95 % to 70 % from day 4 to last day
    mist 10 s every 30 min from 07:00 to 19:00 until day 3
    loses 1 - germination
    do "Fill and water plug trays, sow one seed a cell, label and cover" on day 1 {
      rate speed
      crew sowing
      use 1 seed each
      use 1 tray per 50
      use 35 mL mix each
      tagged sowing, labelling
      caution "Mind the lamp."
      record sown in seeds
    }
    do "Look for seedlings, vent when the first show" daily from day 4 { time 10 min }
    # The wording of a comment makes no difference, but there is one now and then.
    advise s)" +
         n + ".left >= 0.5 * s" + n + R"(.plants else "Fewer than half are expected."
  }
)";
}

/// A protocol of two parts that join, of about `lines` lines.
std::string protocol(int lines) {
  std::string out = R"(protocol generated "A generated protocol" {
  edition 1
  crop "none"
  source "generated"
  input germination = 85 %        from 50 % to 99 % "seeds that give a plant"
  input speed       = 90 per hour from 10 per hour to 400 per hour
  supply seed "Seed" in seeds pack 250
  supply tray "Plug tray, 50 cells" in trays reused
  supply mix  "Mix" in L pack 70 L
  table days_to_show(soil degC -> days) { 15: 21  20: 14  25: 10 }
  let warm = days_to_show(22 degC) + 2 days
  part scion
  part stock
  part plant
)";
  const auto counted = [&] { return std::count(out.begin(), out.end(), '\n'); };
  int number = 0;
  out += stage(number++, "stock");
  while (counted() < lines - 12) out += stage(number++, "scion");
  out += R"(  stage join joins scion with stock into plant {
    lasts 1 day
    room bench
    do "Join" on day 1 { rate 40 per hour  crew sowing }
  }
  require join.end <= s0.start + warm + 40 weeks else "Too late."
}
)";
  return out;
}

void count_lines(benchmark::State& state, const std::string& content) {
  const auto lines = std::count(content.begin(), content.end(), '\n');
  state.counters["lines"] = static_cast<double>(lines);
  state.counters["lines/s"] =
      benchmark::Counter(static_cast<double>(lines) * static_cast<double>(state.iterations()),
                         benchmark::Counter::kIsRate);
}

void read(benchmark::State& state) {
  text::Sources sources;
  const text::Source& source =
      sources.add("generated.bud", protocol(static_cast<int>(state.range(0))));
  for (auto _ : state) {
    text::Diagnostics diagnostics;
    const auto protocols = language::read(source, diagnostics).protocols;
    if (diagnostics.has_errors() || protocols.size() != 1) state.SkipWithError("not accepted");
    benchmark::DoNotOptimize(protocols.data());
  }
  count_lines(state, std::string(source.text()));
}

void parse(benchmark::State& state) {
  text::Sources sources;
  const text::Source& source =
      sources.add("generated.bud", protocol(static_cast<int>(state.range(0))));
  for (auto _ : state) {
    text::Diagnostics diagnostics;
    const auto file = language::parse(source, diagnostics);
    benchmark::DoNotOptimize(file.protocols.data());
  }
  count_lines(state, std::string(source.text()));
}

/// Every tenth line holds a mistake.
void read_mistakes(benchmark::State& state) {
  std::string content = protocol(static_cast<int>(state.range(0)));
  int line = 0;
  for (std::size_t i = 0; i < content.size(); ++i) {
    if (content[i] == '\n' && ++line % 10 == 0) content.insert(i, " mistaken");
  }
  text::Sources sources;
  const text::Source& source = sources.add("mistakes.bud", content);
  for (auto _ : state) {
    text::Diagnostics diagnostics;
    const auto protocols = language::read(source, diagnostics).protocols;
    if (!diagnostics.has_errors()) state.SkipWithError("accepted");
    benchmark::DoNotOptimize(protocols.data());
  }
  count_lines(state, content);
}

}  // namespace

BENCHMARK(read)->Arg(200)->Arg(2000)->Unit(benchmark::kMillisecond);
BENCHMARK(parse)->Arg(200)->Arg(2000)->Unit(benchmark::kMillisecond);
BENCHMARK(read_mistakes)->Arg(200)->Arg(2000)->Unit(benchmark::kMillisecond);
