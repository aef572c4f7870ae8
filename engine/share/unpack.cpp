#include "share/unpack.hpp"

#include <algorithm>
#include <set>
#include <tuple>

#include "digest/digest.hpp"
#include "share/editions.hpp"
#include "share/signature.hpp"

namespace budwood::share {

namespace fs = std::filesystem;

namespace {

bool is_protocol_path(const std::string& path) {
  const auto in = [&](std::string_view folder) {
    return path.starts_with(folder) && path.find('/', folder.size()) == std::string::npos;
  };
  return path.ends_with(".bud") && (in("protocols/") || in("protocols/rules/"));
}
bool is_beside_rules(const std::string& path) {
  return path.starts_with("protocols/rules/");
}
bool is_page_path(const std::string& path) {
  return path.starts_with("pages/") && path.ends_with(".html") &&
         path.find('/', std::string_view("pages/").size()) == std::string::npos;
}

std::string edition_of(const PackedItem& item) {
  return "`" + item.name + "` edition " + std::to_string(item.edition);
}

class Opener {
 public:
  Opener(const std::string& name, const language::Document& beside, text::Sources& sources,
         text::Diagnostics& diagnostics, std::string& problem)
      : name_(name),
        beside_(beside),
        sources_(sources),
        diagnostics_(diagnostics),
        problem_(problem) {}

  std::optional<OpenPack> run(std::string_view bytes) {
    ReadArchive archive = read_archive(bytes);
    if (!archive.problem.empty()) return refuse(archive.problem);
    for (ArchivedFile& file : archive.files) {
      contents_.emplace(std::move(file.path), std::move(file.content));
    }
    OpenPack out;
    if (!check_manifest(out) || !check_files(out) || !check_protocols(out)) return std::nullopt;
    return out;
  }

 private:
  std::nullopt_t refuse(const std::string& why) {
    problem_ = "This pack is refused: " + why + ".";
    return std::nullopt;
  }
  bool fail(const std::string& why) {
    refuse(why);
    return false;
  }

  bool check_manifest(OpenPack& out) {
    const auto manifest = contents_.find(manifest_path);
    if (manifest == contents_.end()) return fail("it has no `manifest.json`, so it is no pack");
    std::string why;
    out.manifest = read_manifest(manifest->second, why);
    if (!why.empty()) return fail("its manifest cannot be read: " + why);
    const auto signature = contents_.find(signature_path);
    if (signature == contents_.end()) return true;
    const auto signer = signer_of(manifest->second, signature->second);
    if (!signer) {
      return fail("its signature is broken; somebody may have changed it on the way");
    }
    out.signer = *signer;
    return true;
  }

  /// What the manifest tells of is there and as it tells, and nothing else is.
  bool check_files(OpenPack& out) {
    std::set<std::string> told = {manifest_path, signature_path};
    for (const PackedFile& file : out.manifest.files) {
      const bool known_place = is_protocol_path(file.path) || is_page_path(file.path);
      if (!is_plain_path(file.path) || !known_place) {
        return fail("its manifest names a file where none belongs");
      }
      if (!told.insert(file.path).second)
        return fail("its manifest names `" + file.path + "` twice");
      const auto found = contents_.find(file.path);
      if (found == contents_.end()) return fail("`" + file.path + "` is missing from it");
      if (found->second.size() != file.size || digest::sha256(found->second) != file.sha256) {
        return fail("`" + file.path + "` in it is not what its manifest says");
      }
      // A file that holds neither protocol nor rule set holds shared tables.
      const bool page = is_page_path(file.path);
      if (page ? !file.holds.empty() : file.holds.empty() && !is_beside_rules(file.path)) {
        return fail("its manifest does not fit `" + file.path + "`");
      }
      if (is_protocol_path(file.path)) out.files.push_back({file.path, found->second});
    }
    for (const auto& [path, content] : contents_) {
      if (!told.contains(path))
        return fail("it holds `" + path + "`, which its manifest does not name");
    }
    if (out.files.empty()) return fail("there is no protocol in it");
    return true;
  }

  /// The protocols are read as they would be from a folder, and mean what the manifest says.
  bool check_protocols(OpenPack& out) {
    std::vector<const text::Source*> read;
    for (const ArchivedFile& file : out.files) {
      read.push_back(&sources_.add(name_ + ":" + file.path, file.content));
    }
    const std::size_t before = diagnostics_.count(text::Severity::error);
    const language::Document document = language::read(read, diagnostics_, sources_beside());
    if (diagnostics_.count(text::Severity::error) > before) {
      return fail("protocols in it have mistakes");
    }
    for (std::size_t i = 0; i < read.size(); ++i) {
      const std::string& path = out.files[i].path;
      const auto packed = std::find_if(out.manifest.files.begin(), out.manifest.files.end(),
                                       [&](const PackedFile& one) { return one.path == path; });
      if (items_of(document, read[i]) != items_of(packed->holds)) {
        return fail("`" + path + "` in it does not hold what its manifest says");
      }
    }
    for (const language::SharedTable& table : document.tables) {
      const auto place = std::find(read.begin(), read.end(), table.span.source) - read.begin();
      out.tables.emplace_back(out.files[static_cast<std::size_t>(place)].path, table);
    }
    return check_once(out);
  }

  std::vector<const text::Source*> sources_beside() const {
    std::vector<const text::Source*> out;
    for (const language::Protocol& one : beside_.protocols) {
      if (std::find(out.begin(), out.end(), one.span.source) == out.end()) {
        out.push_back(one.span.source);
      }
    }
    for (const language::SharedTable& one : beside_.tables) {
      if (std::find(out.begin(), out.end(), one.span.source) == out.end()) {
        out.push_back(one.span.source);
      }
    }
    return out;
  }

  using Item = std::tuple<bool, std::string, int, std::string, std::vector<std::string>>;

  static std::vector<Item> items_of(const language::Document& document,
                                    const text::Source* source) {
    std::vector<Item> out;
    for (const language::Protocol& one : document.protocols) {
      if (one.span.source != source) continue;
      std::vector<std::string> bases;
      for (const language::Layer& base : bases_of(one)) bases.push_back(described(base));
      out.emplace_back(false, one.name, one.edition, one.fingerprint, std::move(bases));
    }
    for (const language::RuleSet& one : document.rule_sets) {
      if (one.span.source != source) continue;
      out.emplace_back(true, one.name, one.edition, one.fingerprint, std::vector<std::string>{});
    }
    std::sort(out.begin(), out.end());
    return out;
  }

  static std::vector<Item> items_of(const std::vector<PackedItem>& told) {
    std::vector<Item> out;
    for (const PackedItem& one : told) {
      out.emplace_back(one.rule_set, one.name, one.edition, one.fingerprint, one.rests_on);
    }
    std::sort(out.begin(), out.end());
    return out;
  }

  bool check_once(const OpenPack& out) {
    std::set<std::tuple<bool, std::string, int>> seen;
    for (const PackedFile& file : out.manifest.files) {
      for (const PackedItem& item : file.holds) {
        if (!seen.emplace(item.rule_set, item.name, item.edition).second) {
          return fail(edition_of(item) + " stands in two of its files");
        }
      }
    }
    return true;
  }

  const std::string& name_;
  const language::Document& beside_;
  text::Sources& sources_;
  text::Diagnostics& diagnostics_;
  std::string& problem_;
  std::map<std::string, std::string> contents_;  ///< by path
};

/// Holds a pack against what is there.
class Planner {
 public:
  Planner(const OpenPack& pack, const Target& target) : pack_(pack), target_(target) {}

  Unpacking run() {
    for (const PackedFile& file : pack_.manifest.files) {
      if (!file.holds.empty()) {
        meet(file);
      } else if (is_protocol_path(file.path)) {
        meet_tables(file);
      }
    }
    judge_tables();
    keep_editions();
    if (!out_.refusals.empty()) out_.files.clear();
    return std::move(out_);
  }

 private:
  template <typename Items>
  void judge(const Items& items, Arrival& arrival) {
    const PackedItem& item = arrival.item;
    for (const auto& one : items) {
      if (one.name != item.name) continue;
      if (arrival.kind == Arrival::Kind::fresh) arrival.kind = Arrival::Kind::edition;
      if (one.edition != item.edition) continue;
      if (one.fingerprint == item.fingerprint) {
        arrival.kind = Arrival::Kind::present;
      } else {
        out_.refusals.push_back(
            edition_of(item) + " is here already and means something else (" +
            one.fingerprint.substr(0, 12) + " here, " + item.fingerprint.substr(0, 12) +
            " in the pack). Ask the sender to give theirs the next edition number, or give yours "
            "another name.");
      }
    }
  }

  /// A file of shared tables alone: placed, unless all of them are here and say the same.
  void meet_tables(const PackedFile& file) {
    const language::SharedTable* known = nullptr;
    bool fresh = false;
    for (const auto& [path, table] : pack_.tables) {
      if (path != file.path) continue;
      if (const auto* own = here(table)) {
        known = own;
      } else {
        fresh = true;
      }
    }
    if (!fresh) return;
    if (known != nullptr) {
      out_.refusals.push_back("`" + file.path + "` holds the shared table `" + known->name +
                              "`, which is here already, beside a new one. Ask the sender to "
                              "write them into files of their own.");
      return;
    }
    out_.tables.push_back(free_path(file));
    out_.files.push_back({out_.tables.back(), content_of(file.path), false});
  }

  const language::SharedTable* here(const language::SharedTable& table) const {
    for (const language::SharedTable& one : target_.library.tables) {
      if (one.name == table.name) return &one;
    }
    return nullptr;
  }

  void judge_tables() {
    for (const auto& [path, table] : pack_.tables) {
      const language::SharedTable* own = here(table);
      if (own == nullptr || own->fingerprint == table.fingerprint) continue;
      out_.refusals.push_back("The shared table `" + table.name +
                              "` is here already and says something else. Ask the sender to give "
                              "theirs another name.");
    }
  }

  void meet(const PackedFile& file) {
    std::vector<Arrival> arrivals;
    for (const PackedItem& item : file.holds) {
      Arrival arrival{Arrival::Kind::fresh, item, {}};
      if (item.rule_set) {
        judge(target_.library.rule_sets, arrival);
      } else {
        judge(target_.library.protocols, arrival);
      }
      arrivals.push_back(std::move(arrival));
    }
    const auto present = [](const Arrival& one) { return one.kind == Arrival::Kind::present; };
    const bool all = std::all_of(arrivals.begin(), arrivals.end(), present);
    if (!all && std::any_of(arrivals.begin(), arrivals.end(), present)) {
      const auto one = std::find_if(arrivals.begin(), arrivals.end(), present);
      out_.refusals.push_back("`" + file.path + "` holds " + edition_of(one->item) +
                              ", which is here already, beside something new. Ask the sender to "
                              "write them into files of their own.");
    } else if (!all) {
      const fs::path path = free_path(file);
      for (Arrival& one : arrivals) one.file = path;
      out_.files.push_back({path, content_of(file.path), false});
    }
    out_.arrivals.insert(out_.arrivals.end(), arrivals.begin(), arrivals.end());
  }

  const std::string& content_of(const std::string& path) const {
    return std::find_if(pack_.files.begin(), pack_.files.end(),
                        [&](const ArchivedFile& one) { return one.path == path; })
        ->content;
  }

  /// The name that it has in the pack, or with its edition where an older one has that name.
  fs::path free_path(const PackedFile& file) {
    const fs::path inside = fs::path(file.path).lexically_relative("protocols");
    const fs::path folder = target_.folder / inside.parent_path();
    const std::string stem = inside.stem().string();
    const int number = file.holds.empty() ? 2 : file.holds.front().edition;
    const std::string edition = "_edition_" + std::to_string(number);
    for (const std::string& name : {stem + ".bud", stem + edition + ".bud"}) {
      const fs::path path = folder / name;
      std::error_code ignored;
      const bool planned = std::any_of(out_.files.begin(), out_.files.end(),
                                       [&](const files::NewFile& one) { return one.path == path; });
      if (!planned && !fs::exists(fs::symlink_status(path, ignored))) return path;
    }
    out_.refusals.push_back("There are files `" + stem + ".bud` and `" + stem + edition +
                            ".bud` in `" + folder.generic_string() +
                            "` already. Rename one of them.");
    return folder / (stem + ".bud");
  }

  void keep_editions() {
    if (target_.book == nullptr || out_.files.empty()) return;
    const bool moves =
        std::any_of(out_.arrivals.begin(), out_.arrivals.end(), [&](const Arrival& arrival) {
          return arrival.kind == Arrival::Kind::edition && !arrival.item.rule_set &&
                 std::any_of(target_.book->batches.begin(), target_.book->batches.end(),
                             [&](const book::Batch& batch) {
                               return batch.protocol.value == arrival.item.name &&
                                      book::wanted_edition(batch) == nullptr;
                             });
        });
    if (!moves) return;
    // First, so that no batch is on the new edition for a moment.
    out_.files.insert(out_.files.begin(),
                      {target_.book->folder / book::editions_file,
                       book::editions_yaml(*target_.book, book::Keeping::as_kept), true});
  }

  const OpenPack& pack_;
  const Target& target_;
  Unpacking out_;
};

}  // namespace

std::optional<OpenPack> open_pack(std::string_view bytes, const std::string& name,
                                  const language::Document& beside, text::Sources& sources,
                                  text::Diagnostics& diagnostics, std::string& problem) {
  problem.clear();
  return Opener(name, beside, sources, diagnostics, problem).run(bytes);
}

Unpacking plan_unpacking(const OpenPack& pack, const Target& target) {
  return Planner(pack, target).run();
}

}  // namespace budwood::share
