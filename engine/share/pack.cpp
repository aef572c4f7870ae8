#include "share/pack.hpp"

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include "digest/digest.hpp"
#include "share/editions.hpp"
#include "share/signature.hpp"

namespace budwood::share {

namespace {

/// Letters of other alphabets and spaces are fine on a disk, but not between systems.
std::string plain(const std::string& name) {
  std::string out;
  for (const char c : name) {
    const bool fits = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') ||
                      c == '-' || c == '_';
    out += fits ? c : '_';
  }
  constexpr std::size_t longest = 100;
  out.resize(std::min(out.size(), longest));
  return "p" + out;
}

std::string plain_name(const std::string& name) {
  return is_plain_path(name) && name.size() < 100 ? name : plain(name);
}

/// Finds the files that belong together.
class Packer {
 public:
  explicit Packer(const Packing& packing) : packing_(packing) {}

  std::optional<Pack> run(std::string& problem) {
    for (const language::Protocol* one : packing_.protocols) need(one->span);
    for (const language::RuleSet* one : packing_.rule_sets) need(one->span);
    follow_bases(problem);
    if (!problem.empty()) return std::nullopt;
    for (const text::Source* source : sources_) add(*source);
    for (const ArchivedFile& page : packing_.pages) {
      files_.push_back(
          {{free_path(page.path.substr(0, page.path.rfind('.')), ".html"), page.content}, {}});
    }
    return finish(problem);
  }

 private:
  struct Entry {
    ArchivedFile file;
    std::vector<PackedItem> holds;
  };

  void need(const text::Span& span) {
    if (std::find(sources_.begin(), sources_.end(), span.source) == sources_.end()) {
      sources_.push_back(span.source);
    }
  }

  bool is_packed(const text::Span& span) const {
    return std::find(sources_.begin(), sources_.end(), span.source) != sources_.end();
  }

  /// What rests on something brings the file of that along, until nothing more comes.
  void follow_bases(std::string& problem) {
    std::size_t before = 0;
    while (before != sources_.size()) {
      before = sources_.size();
      for (const language::Protocol& one : packing_.library.protocols) {
        if (!is_packed(one.span)) continue;
        for (const language::Layer& base : bases_of(one)) need_base(one, base, problem);
        // Shared tables stand in files of their own, which a protocol takes along.
        for (const language::Table& table : one.tables) need(table.span);
      }
    }
  }

  void need_base(const language::Protocol& of, const language::Layer& base, std::string& problem) {
    for (const language::Protocol& one : packing_.library.protocols) {
      if (one.name == base.name && one.edition == base.edition) return need(one.span);
    }
    problem = "`" + of.name + "` rests on `" + base.name + "` edition " +
              std::to_string(base.edition) + ", which is not there.";
  }

  void add(const text::Source& source) {
    Entry entry;
    for (const language::Protocol& one : packing_.library.protocols) {
      if (one.span.source != &source) continue;
      PackedItem item{false, one.name, one.edition, one.title, one.fingerprint, {}};
      for (const language::Layer& base : bases_of(one)) item.rests_on.push_back(described(base));
      entry.holds.push_back(std::move(item));
    }
    const bool only_rules = entry.holds.empty();  // or tables, which stand beside rules
    for (const language::RuleSet& one : packing_.library.rule_sets) {
      if (one.span.source != &source) continue;
      entry.holds.push_back({true, one.name, one.edition, one.title, one.fingerprint, {}});
    }
    const std::string stem = plain_name(std::filesystem::path(source.name()).stem().string());
    const std::string folder = only_rules ? "protocols/rules/" : "protocols/";
    entry.file = {free_path(folder + stem, ".bud"), std::string(source.text())};
    files_.push_back(std::move(entry));
  }

  /// Files of the same name come from different folders, or differ only in capital letters.
  std::string free_path(const std::string& stem, const std::string& ending) {
    const auto lower = [](std::string text) {
      for (char& c : text) c = static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
      return text;
    };
    std::string path = stem + ending;
    for (int number = 2; !paths_.insert(lower(path)).second; ++number) {
      path = stem + "_" + std::to_string(number) + ending;
    }
    return path;
  }

  std::optional<Pack> finish(std::string& problem) {
    std::sort(files_.begin(), files_.end(),
              [](const Entry& a, const Entry& b) { return a.file.path < b.file.path; });
    Pack out;
    out.manifest.notes = packing_.notes;
    std::vector<ArchivedFile> archived;
    for (Entry& entry : files_) {
      if (entry.file.content.size() > largest_entry) {
        problem = "`" + entry.file.path + "` is larger than 1 MB.";
        return std::nullopt;
      }
      out.manifest.files.push_back({entry.file.path, entry.file.content.size(),
                                    digest::sha256(entry.file.content), std::move(entry.holds)});
      archived.push_back(std::move(entry.file));
    }
    for (const std::string* text :
         {&packing_.notes.author, &packing_.notes.licence, &packing_.notes.note}) {
      if (text->size() <= longest_manifest_text) continue;
      problem = "Author, licence and note have 4000 letters at most.";
      return std::nullopt;
    }
    const std::string manifest = manifest_text(out.manifest);
    archived.push_back({manifest_path, manifest});
    if (!packing_.secret_key.empty()) {
      archived.push_back({signature_path, sign(manifest, packing_.secret_key)});
    }
    if (archived.size() > most_entries || manifest.size() > largest_entry) {
      problem = "That is more than fits into one pack: choose fewer protocols.";
      return std::nullopt;
    }
    out.bytes = write_archive(std::move(archived));
    return out;
  }

  const Packing& packing_;
  std::vector<const text::Source*> sources_;
  std::vector<Entry> files_;
  std::set<std::string> paths_;
};

}  // namespace

std::string page_path(const language::Protocol& protocol) {
  return "pages/" + plain_name(protocol.name) + "_edition_" + std::to_string(protocol.edition) +
         ".html";
}

std::optional<Pack> pack(const Packing& packing, std::string& problem) {
  problem.clear();
  return Packer(packing).run(problem);
}

}  // namespace budwood::share
