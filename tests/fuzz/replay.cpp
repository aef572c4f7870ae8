// Runs a fuzzer over its corpus and over a number of changed inputs, without libFuzzer.
//
//   fuzz_replay NAME ROUNDS SEED FOLDER...
//   fuzz_replay NAME FILE
//   fuzz_replay write FOLDER FOLDER...
//
// The last writes the inputs as they are run into the first folder, for libFuzzer and for other
// tests. An input that breaks something is left in the file NAME.found; the second form runs it
// alone.
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "corpus.hpp"
#include "fuzzing.hpp"
#include "mutation.hpp"

// fuzz_NAME of each fuzzer, and their table.
#define BUDWOOD_FUZZER(name) extern "C" int fuzz_##name(const std::uint8_t* data, std::size_t size);
#include "fuzzers.inc"
#undef BUDWOOD_FUZZER

extern "C" void __sanitizer_set_death_callback(void (*callback)()) __attribute__((weak));

namespace {

using namespace budwood;

struct Fuzzer {
  const char* name;
  int (*run)(const std::uint8_t* data, std::size_t size);
};

constexpr Fuzzer fuzzers[] = {
#define BUDWOOD_FUZZER(name) {#name, fuzz_##name},
#include "fuzzers.inc"
#undef BUDWOOD_FUZZER
};

/// Processor time that one input may take. What is read is bounded, so this is far above all of it.
constexpr double longest_seconds = BUDWOOD_FUZZ_SECONDS;

// What is being run, for when it ends the program.
const Fuzzer* running = nullptr;
const std::string* input = nullptr;
const char* input_name = "";

/// Leaves the input behind. Called where the program ends, so it does no more than it has to.
void keep_input() {
  if (input == nullptr) return;
  char path[200];
  std::snprintf(path, sizeof path, "%s.found", running->name);
  if (std::FILE* file = std::fopen(path, "wb")) {
    std::fwrite(input->data(), 1, input->size(), file);
    std::fclose(file);
  }
  std::fprintf(stderr, "%s: %s broke it; the input is in %s\n", running->name, input_name, path);
  input = nullptr;
}

void keep_input_at(int signal) {
  keep_input();
  std::signal(signal, SIG_DFL);
  std::raise(signal);
}

/// On a stack of its own, because the usual one may be what ran out. Sanitizers see to it
/// themselves.
void keep_inputs_that_break() {
  if (__sanitizer_set_death_callback != nullptr) {
    __sanitizer_set_death_callback(keep_input);
    std::signal(SIGABRT, keep_input_at);
    return;
  }
  constexpr std::size_t size = 64U << 10U;
  static char stack[size];
  stack_t other{};
  other.ss_sp = stack;
  other.ss_size = size;
  sigaltstack(&other, nullptr);
  struct sigaction action {};
  action.sa_handler = keep_input_at;
  action.sa_flags = SA_ONSTACK;
  for (const int signal : {SIGABRT, SIGSEGV, SIGBUS, SIGFPE, SIGILL}) {
    sigaction(signal, &action, nullptr);
  }
}

double processor_seconds() {
  timespec now{};
  clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

struct Slowest {
  double seconds = 0;
  std::string name;
};

void run(const std::string& bytes, const std::string& name, Slowest& slowest) {
  input = &bytes;
  input_name = name.c_str();
  fuzz::accepted = false;
  const double before = processor_seconds();
  // A block of its own, so that a sanitizer sees what is read past its end.
  std::vector<std::uint8_t> block(bytes.begin(), bytes.end());
  running->run(block.data(), block.size());
  const double taken = processor_seconds() - before;
  fuzz::must(taken <= longest_seconds, "reading that takes too long");
  if (taken > slowest.seconds) slowest = {taken, name};
  input = nullptr;
}

/// False when an input that is usual was not read.
bool run_corpus(const std::vector<fuzz::Input>& corpus, Slowest& slowest) {
  bool any = false;
  bool all = true;
  for (const fuzz::Input& one : corpus) {
    run(one.bytes, one.name, slowest);
    if (!one.name.starts_with("usual")) continue;
    any = true;
    if (fuzz::accepted) continue;
    std::fprintf(stderr, "%s: %s is a usual input, and is not read\n", running->name,
                 one.name.c_str());
    all = false;
  }
  if (!any) std::fprintf(stderr, "%s: there is no usual input\n", running->name);
  return any && all;
}

int replay(std::size_t rounds, unsigned seed, const std::vector<std::string>& folders) {
  std::vector<fuzz::Input> corpus;
  for (const std::string& folder : folders) {
    for (fuzz::Input& one : fuzz::read_corpus(folder)) corpus.push_back(std::move(one));
  }
  Slowest slowest;
  if (!run_corpus(corpus, slowest)) return 1;
  fuzz::Mutation mutation(corpus, seed);
  std::size_t accepted = 0;
  for (std::size_t round = 1; round <= rounds; ++round) {
    const std::string bytes = mutation.next();
    run(bytes, "round " + std::to_string(round), slowest);
    if (fuzz::accepted) ++accepted;
  }
  std::printf(
      "%s: %zu inputs and %zu changed ones, %zu of these read without a mistake; %.1f s, the "
      "slowest %s with %.2f s\n",
      running->name, corpus.size(), rounds, accepted, processor_seconds(), slowest.name.c_str(),
      slowest.seconds);
  return 0;
}

int write(const std::filesystem::path& to, const std::vector<std::string>& folders) {
  std::filesystem::create_directories(to);
  for (const std::string& folder : folders) {
    for (const fuzz::Input& one : fuzz::read_corpus(folder)) {
      std::ofstream(to / one.name, std::ios::binary) << one.bytes;
    }
  }
  return 0;
}

}  // namespace

int main(int count, char** arguments) {
  if (count > 3 && std::strcmp(arguments[1], "write") == 0) {
    return write(arguments[2], {arguments + 3, arguments + count});
  }
  for (const Fuzzer& one : fuzzers) {
    if (count >= 3 && std::strcmp(one.name, arguments[1]) == 0) running = &one;
  }
  if (running == nullptr || count == 4) {
    std::fputs("fuzz_replay NAME ROUNDS SEED FOLDER..., NAME FILE or write FOLDER FOLDER...\n",
               stderr);
    return 2;
  }
  keep_inputs_that_break();
  if (count > 4) {
    return replay(std::strtoul(arguments[2], nullptr, 10),
                  static_cast<unsigned>(std::strtoul(arguments[3], nullptr, 10)),
                  {arguments + 4, arguments + count});
  }
  Slowest slowest;
  run(fuzz::read_input(arguments[2]).bytes, arguments[2], slowest);
  std::printf("%s: %s in %.2f s\n", running->name, fuzz::accepted ? "read" : "refused",
              slowest.seconds);
  return 0;
}
