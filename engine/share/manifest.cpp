#include "share/manifest.hpp"

#include <algorithm>
#include <initializer_list>
#include <nlohmann/json.hpp>

namespace budwood::share {

namespace {

using Json = nlohmann::ordered_json;

constexpr int deepest = 8;
constexpr int last_edition = 1'000'000;

Json json_of(const PackedItem& item) {
  return {{"kind", item.rule_set ? "rules" : "protocol"},
          {"name", item.name},
          {"edition", item.edition},
          {"title", item.title},
          {"fingerprint", item.fingerprint},
          {"rests_on", item.rests_on}};
}

Json json_of(const PackedFile& file) {
  Json out = {{"path", file.path}, {"size", file.size}, {"sha256", file.sha256}};
  out["holds"] = Json::array();
  for (const PackedItem& item : file.holds) out["holds"].push_back(json_of(item));
  return out;
}

/// Takes values out of objects that could be anything.
class ManifestReader {
 public:
  explicit ManifestReader(std::string& problem) : problem_(problem) {}

  Manifest read(const Json& json) {
    Manifest out;
    if (!has_keys(json, {"budwood_pack", "author", "licence", "note", "files"})) return out;
    if (whole(json, "budwood_pack") != Manifest::format) {
      fail("it is of a later format than this program reads");
    }
    out.notes = {text(json, "author"), text(json, "licence"), text(json, "note")};
    for (const Json& one : list(json, "files")) out.files.push_back(file(one));
    return out;
  }

 private:
  PackedFile file(const Json& json) {
    PackedFile out;
    if (!has_keys(json, {"path", "size", "sha256", "holds"})) return out;
    out.path = text(json, "path");
    out.size = static_cast<std::size_t>(whole(json, "size"));
    out.sha256 = digits(json, "sha256");
    for (const Json& one : list(json, "holds")) out.holds.push_back(item(one));
    return out;
  }

  PackedItem item(const Json& json) {
    PackedItem out;
    if (!has_keys(json, {"kind", "name", "edition", "title", "fingerprint", "rests_on"})) {
      return out;
    }
    const std::string kind = text(json, "kind");
    if (kind != "protocol" && kind != "rules") fail("`kind` is neither protocol nor rules");
    out.rule_set = kind == "rules";
    out.name = text(json, "name");
    out.edition = static_cast<int>(std::min<std::int64_t>(whole(json, "edition"), last_edition));
    out.title = text(json, "title");
    out.fingerprint = digits(json, "fingerprint");
    for (const Json& one : list(json, "rests_on")) {
      if (one.is_string()) {
        out.rests_on.push_back(one.get<std::string>());
      } else {
        fail("`rests_on` holds something that is no text");
      }
    }
    return out;
  }

  /// Whether it is an object with just these keys.
  bool has_keys(const Json& json, std::initializer_list<const char*> keys) {
    if (!json.is_object()) return fail("something in it is not laid out as it should be");
    for (const char* key : keys) {
      if (!json.contains(key)) return fail(std::string("`") + key + "` is missing");
    }
    return json.size() == keys.size() || fail("it has keys that no manifest has");
  }

  std::string text(const Json& json, const char* key) {
    const Json& value = json.at(key);
    if (!value.is_string()) {
      fail(std::string("`") + key + "` is no text");
      return "";
    }
    std::string out = value.get<std::string>();
    if (out.size() > longest_manifest_text) fail(std::string("`") + key + "` is too long");
    return out;
  }

  std::int64_t whole(const Json& json, const char* key) {
    const Json& value = json.at(key);
    const bool fits = value.is_number_unsigned() && value.get<std::uint64_t>() <= (1ULL << 40U);
    if (fits) return value.get<std::int64_t>();
    fail(std::string("`") + key + "` is no whole number that can be");
    return 0;
  }

  std::string digits(const Json& json, const char* key) {
    constexpr std::size_t length = 64;
    std::string out = text(json, key);
    if (out.size() != length || out.find_first_not_of("0123456789abcdef") != std::string::npos) {
      fail(std::string("`") + key + "` has not the 64 digits of a SHA-256");
    }
    return out;
  }

  const Json& list(const Json& json, const char* key) {
    static const Json none = Json::array();
    const Json& value = json.at(key);
    if (value.is_array()) return value;
    fail(std::string("`") + key + "` is no list");
    return none;
  }

  /// The first thing that is wrong is the one to tell.
  bool fail(const std::string& why) {
    if (problem_.empty()) problem_ = why;
    return false;
  }

  std::string& problem_;
};

}  // namespace

std::string manifest_text(const Manifest& manifest) {
  Json out = {{"budwood_pack", Manifest::format},
              {"author", manifest.notes.author},
              {"licence", manifest.notes.licence},
              {"note", manifest.notes.note}};
  out["files"] = Json::array();
  for (const PackedFile& file : manifest.files) out["files"].push_back(json_of(file));
  return out.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

Manifest read_manifest(std::string_view json, std::string& problem) {
  problem.clear();
  bool too_deep = false;
  const auto bounded = [&](int depth, Json::parse_event_t, Json&) {
    too_deep = too_deep || depth > deepest;
    return depth <= deepest;
  };
  const Json tree = Json::parse(json, bounded, false);
  if (too_deep) {
    problem = "it is nested deeper than any manifest";
    return {};
  }
  if (tree.is_discarded()) {
    problem = "it is no JSON";
    return {};
  }
  Manifest out = ManifestReader(problem).read(tree);
  return problem.empty() ? out : Manifest{};
}

}  // namespace budwood::share
