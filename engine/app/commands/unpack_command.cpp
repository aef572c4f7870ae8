#include <CLI/CLI.hpp>
#include <algorithm>
#include <filesystem>
#include <memory>

#include "app/app.hpp"
#include "app/arguments.hpp"
#include "app/console.hpp"
#include "app/output.hpp"
#include "app/protocol_choice.hpp"
#include "book/library.hpp"
#include "book/with_library.hpp"
#include "files/place_all.hpp"
#include "files/read.hpp"
#include "report/formats/table.hpp"
#include "share/unpack.hpp"

namespace budwood::app {

namespace fs = std::filesystem;

namespace {

struct UnpackArguments {
  std::string file;
  std::string into = ".";
  bool yes = false;
};

/// The bytes of a file; nothing when it cannot be read, which has been said then.
std::optional<std::string> read_bytes(const std::string& path) {
  files::Bytes read = files::read_bytes(path, share::largest_archive);
  if (read.ok()) return std::move(read.bytes);
  text::Diagnostics why;
  why.add(files::refusal(read, path, share::largest_archive));
  report_problems(why);
  return std::nullopt;
}

/// Who signed it, as the site knows them.
std::string signer_text(const std::string& key, const std::optional<book::Book>& book) {
  if (key.empty()) return "not signed";
  if (book) {
    for (const auto& [name, known] : book->site.trusts) {
      if (known.value == key) return "signed by " + name;
    }
  }
  return "signed by somebody whom this site does not know, with the key " + key;
}

std::string what_it_is(const share::Arrival& arrival) {
  switch (arrival.kind) {
    case share::Arrival::Kind::fresh:
      return "new";
    case share::Arrival::Kind::edition:
      return "new edition";
    case share::Arrival::Kind::present:
      return "here already, the same";
  }
  return "";
}

void write_plan(std::ostream& out, const std::string& head, const share::OpenPack& pack,
                const share::Unpacking& unpacking, const report::Style& style) {
  // What a pack says of itself may hold anything; a line break in it begins no line of ours.
  const auto line = [&](const std::string& words) {
    for (const std::string& one : report::wrap(text::printable(words), style.width)) {
      out << one << '\n';
    }
  };
  line(head);
  const share::PackNotes& notes = pack.manifest.notes;
  if (!notes.author.empty()) line("Author: " + notes.author);
  if (!notes.licence.empty()) line("Licence: " + notes.licence);
  if (!notes.note.empty()) line("Note: " + notes.note);
  using Column = report::Table::Kind;
  report::Table table({{"Protocol or rule set", Column::entry},
                       {"Edition", Column::number},
                       {"Fingerprint", Column::entry},
                       {"Here", Column::entry},
                       {"File"}});
  for (const share::Arrival& one : unpacking.arrivals) {
    table.add({one.item.name, std::to_string(one.item.edition), one.item.fingerprint.substr(0, 12),
               what_it_is(one), one.file.generic_string()});
  }
  table.write(out, style);
  for (const fs::path& file : unpacking.tables) {
    line("With them shared tables, in " + file.generic_string() + ".");
  }
  for (const files::NewFile& file : unpacking.files) {
    if (file.replaces) {
      line("Batches stay on the editions that they are on now, which " +
           file.path.generic_string() + " keeps.");
    }
  }
}

/// The folder that is unpacked into, and what is in it.
struct Into {
  text::Sources sources;
  text::Diagnostics diagnostics;
  std::optional<book::Book> book;
  share::Target target;

  /// False when it cannot be read; that has been said then.
  bool read(const std::string& folder) {
    std::error_code ignored;
    if (!fs::is_directory(folder, ignored)) {
      complain("There is no folder `" + folder + "` to unpack into.");
      return false;
    }
    target.folder = folder;
    if (is_book(folder)) {
      book = book::read_book(folder, sources, diagnostics);
      if (book) {
        target.library = {book->protocols, book->rule_sets, book->tables, {}};
        target.book = &*book;
        // What came with the program is not written to.
        const bool own =
            book->site.protocols && book->site.protocols->value != book::shipped_library;
        if (own) target.folder /= book->site.protocols->value;
      }
    } else {
      target.library = book::read_library({{folder, {}}}, {}, sources, diagnostics);
    }
    return true;
  }

  /// Whether nothing is wrong with it but that it waits for what a pack brings: a base, a rule set
  /// that the site follows. All else is told.
  bool waits_alone(const share::Manifest& brought) const {
    const std::vector<text::Diagnostic> found = diagnostics.sorted();
    const bool sound = std::all_of(found.begin(), found.end(), [&](const text::Diagnostic& one) {
      return one.severity != text::Severity::error || one.code == "unknown-base" ||
             (one.code == "unknown-name" && brings(brought, text::text_of(one.span)));
    });
    if (sound) return true;
    report_problems(diagnostics);
    complain("Nothing is unpacked into a folder with errors: what is new cannot be told there.");
    return false;
  }

 private:
  static bool brings(const share::Manifest& brought, std::string_view name) {
    return std::any_of(
        brought.files.begin(), brought.files.end(), [&](const share::PackedFile& file) {
          return std::any_of(file.holds.begin(), file.holds.end(),
                             [&](const share::PackedItem& item) { return item.name == name; });
        });
  }
};

/// Writes what was planned, and tells so.
int carry_out(const share::Unpacking& unpacking, const std::string& into) {
  const std::string problem = files::place_all(unpacking.files, into);
  if (!problem.empty()) {
    complain(problem);
    return exit_faults;
  }
  const bool told = tell_done("All was written", [&](std::ostream& out) {
    for (const files::NewFile& file : unpacking.files) {
      out << "Written: " << text::printable(file.path.generic_string()) << '\n';
    }
  });
  return told ? exit_fine : exit_faults;
}

int run_unpack(const UnpackArguments& arguments) {
  const auto bytes = read_bytes(arguments.file);
  Into into;
  if (!bytes || !into.read(arguments.into)) return exit_faults;
  std::string problem;
  text::Diagnostics found;
  const auto pack = share::open_pack(*bytes, fs::path(arguments.file).filename().string(),
                                     into.target.library, into.sources, found, problem);
  if (!pack) {
    report_problems(found);
    complain(problem + " Nothing was written.");
    return exit_faults;
  }
  if (!into.waits_alone(pack->manifest)) return exit_faults;
  const share::Unpacking unpacking = share::plan_unpacking(*pack, into.target);
  const std::string head = arguments.file + ", " + signer_text(pack->signer, into.book);
  const bool shown = write_result({}, [&](std::ostream& out) {
    write_plan(out, head, *pack, unpacking, output_style(false));
    if (unpacking.refusals.empty() && unpacking.files.empty()) {
      out << "There is nothing to do: all of it is here.\n";
    } else if (unpacking.refusals.empty() && !arguments.yes) {
      out << "Nothing was written; add --yes.\n";
    }
  });
  report_problems(found);
  for (const std::string& why : unpacking.refusals) complain(why);
  if (!unpacking.refusals.empty()) complain("Nothing was written.");
  if (!shown || !unpacking.refusals.empty()) return exit_faults;
  return arguments.yes && !unpacking.files.empty() ? carry_out(unpacking, arguments.into)
                                                   : exit_fine;
}

}  // namespace

Command add_unpack(CLI::App& program) {
  const auto arguments = std::make_shared<UnpackArguments>();
  CLI::App* words = program.add_subcommand(
      "unpack", "What a pack from another site would change here; with --yes it is taken over");
  words->add_option("FILE", arguments->file, "A file that `budwood pack` made")
      ->type_name("")
      ->required();
  words->add_option("--into", arguments->into, "A book or a folder of protocols; default: this one")
      ->type_name("FOLDER");
  words->add_flag("--yes", arguments->yes, "Take it over; without it nothing is written");
  return {words, [arguments] { return run_unpack(*arguments); }};
}

}  // namespace budwood::app
