#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>
#include <sstream>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/protocol_choice.hpp"
#include "files/read.hpp"
#include "paper/paper.hpp"
#include "share/pack.hpp"
#include "share/signature.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

constexpr std::size_t shown_digits = 12;

struct PackArguments {
  std::vector<std::string> paths;
  std::vector<std::string> protocols;
  share::PackNotes notes;
  std::string key_file;
  std::string file;
};

/// Everything that the paths hold, each once.
class PackSources {
 public:
  void read(const std::vector<std::string>& paths) {
    for (const std::string& path : paths) {
      if (is_book(path)) {
        auto book = book::read_book(path, sources_, diagnostics_);
        if (!book) continue;
        for (const language::RuleSet* set : book::followed_rules(*book)) {
          followed_.emplace_back(set->name, set->edition);
        }
        std::erase_if(book->protocols, [](const auto& one) { return one.of_site; });
        merge({std::move(book->protocols), std::move(book->rule_sets), {}, {}});
      } else {
        language::Document found = read_path(path, sources_, diagnostics_);
        if (found.protocols.empty() && found.rule_sets.empty()) report_none(path, diagnostics_);
        merge(std::move(found));
      }
    }
  }

  const language::Document& library() const { return library_; }
  text::Sources& sources() { return sources_; }
  text::Diagnostics& diagnostics() { return diagnostics_; }

  /// The rule sets that the sites of the books follow.
  std::vector<const language::RuleSet*> followed() const {
    std::vector<const language::RuleSet*> out;
    for (const language::RuleSet& one : library_.rule_sets) {
      if (std::find(followed_.begin(), followed_.end(), std::pair(one.name, one.edition)) !=
          followed_.end()) {
        out.push_back(&one);
      }
    }
    return out;
  }

 private:
  void merge(language::Document found) {
    add(library_.protocols, std::move(found.protocols), "protocol");
    add(library_.rule_sets, std::move(found.rule_sets), "rule set");
  }

  template <typename Item>
  void add(std::vector<Item>& to, std::vector<Item> found, const std::string& kind) {
    for (Item& item : found) {
      const auto same = std::find_if(to.begin(), to.end(), [&](const Item& one) {
        return one.name == item.name && one.edition == item.edition;
      });
      if (same == to.end()) {
        to.push_back(std::move(item));
      } else if (same->fingerprint != item.fingerprint) {
        diagnostics_.error("duplicate-protocol", item.span,
                           "There is another edition " + std::to_string(item.edition) + " of the " +
                               kind + " `" + item.name + "` that means something else.",
                           "Pack them one at a time, or give the changed one the next number.");
      }
    }
  }

  text::Sources sources_;
  text::Diagnostics diagnostics_;
  language::Document library_;
  std::vector<std::pair<std::string, int>> followed_;
};

/// What was asked for; nothing when a name is not clear, which has been said then.
bool choose(const PackArguments& arguments, const PackSources& found, share::Packing& packing) {
  if (arguments.protocols.empty()) {
    for (const language::Protocol& one : found.library().protocols) {
      packing.protocols.push_back(&one);
    }
    for (const language::RuleSet& one : found.library().rule_sets) {
      packing.rule_sets.push_back(&one);
    }
    return true;
  }
  for (const std::string& wanted : arguments.protocols) {
    std::string problem;
    const language::Protocol* one = choose_protocol(found.library().protocols, wanted,
                                                    text::list_words(arguments.paths), problem);
    if (one == nullptr) {
      complain(problem);
      return false;
    }
    packing.protocols.push_back(one);
  }
  packing.rule_sets = found.followed();
  return true;
}

/// A page for each protocol, for people who work from paper; none for one that cannot be worked
/// through.
std::vector<share::ArchivedFile> pages_of(const std::vector<const language::Protocol*>& protocols) {
  std::vector<share::ArchivedFile> out;
  for (const language::Protocol* one : protocols) {
    std::ostringstream page;
    const bool written = paper::write_method(
        page, *one, {paper::PageSize::printers, one->fingerprint.substr(0, shown_digits)});
    if (written) out.push_back({share::page_path(*one), page.str()});
  }
  return out;
}

/// The secret key of a file; nothing when it holds none, which has been said then.
std::optional<std::string> read_key(const std::string& file, PackSources& found) {
  const text::Source* source = files::read_text(file, found.sources(), found.diagnostics(), 1000);
  if (source == nullptr) return std::nullopt;
  auto key = share::read_secret_key(source->text());
  if (!key) complain("`" + file + "` holds no secret key; `budwood keys NAME` makes one.");
  return key;
}

std::string told(const share::Manifest& manifest) {
  std::string out;
  for (const share::PackedFile& file : manifest.files) {
    for (const share::PackedItem& item : file.holds) {
      out += "  " + item.name + " edition " + std::to_string(item.edition) + "  " +
             item.fingerprint.substr(0, shown_digits) + "  " + file.path + "\n";
    }
  }
  return out;
}

int run_pack(const PackArguments& arguments) {
  PackSources found;
  found.read(arguments.paths.empty() ? std::vector<std::string>{"."} : arguments.paths);
  share::Packing packing{found.library(), {}, {}, arguments.notes, {}, {}};
  if (found.diagnostics().has_errors()) {
    report_problems(found.diagnostics());
    complain("Nothing was packed.");
    return exit_faults;
  }
  if (!choose(arguments, found, packing)) return exit_misuse;
  if (!arguments.key_file.empty()) {
    const auto key = read_key(arguments.key_file, found);
    if (!key) {
      report_problems(found.diagnostics());
      return exit_misuse;
    }
    packing.secret_key = *key;
  }
  packing.pages = pages_of(packing.protocols);
  std::string problem;
  const auto packed = share::pack(packing, problem);
  if (!packed) {
    complain(problem + " Nothing was packed.");
    return exit_faults;
  }
  const bool written =
      write_result(arguments.file, [&](std::ostream& out) { out << packed->bytes; });
  report_problems(found.diagnostics());
  if (!written) return exit_faults;
  const std::string name = text::printable(arguments.file);
  const bool shown = tell_done("`" + name + "` was written", [&](std::ostream& out) {
    out << name << (packing.secret_key.empty() ? "" : ", signed") << "\n" << told(packed->manifest);
  });
  return shown ? exit_fine : exit_faults;
}

}  // namespace

Command add_pack(CLI::App& program) {
  const auto arguments = std::make_shared<PackArguments>();
  CLI::App* words = program.add_subcommand(
      "pack", "Protocols and all that they rest on in one file, for another site");
  words
      ->add_option("PATH", arguments->paths,
                   "Protocols (*.bud), folders of them, or books; default: this folder")
      ->type_name("");
  add_repeated(
      *words, "--protocol", arguments->protocols, "NAME",
      "Pack this one, such as \"bench_graft edition 2\"; may stand several times; without it "
      "everything is packed");
  words->add_option("--author", arguments->notes.author, "Whose method it is")->type_name("TEXT");
  words->add_option("--licence", arguments->notes.licence, "How others may use it")
      ->type_name("TEXT");
  words->add_option("--note", arguments->notes.note, "What the other site should know")
      ->type_name("TEXT");
  words->add_option("--sign", arguments->key_file, "Sign it with this secret key")
      ->type_name("FILE");
  words->add_option("--out", arguments->file, "The file to write, such as spring.zip")
      ->type_name("FILE")
      ->required();
  return {words, [arguments] { return run_pack(*arguments); }};
}

}  // namespace budwood::app
