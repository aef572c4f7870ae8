#include "record/json.hpp"

#include <nlohmann/json.hpp>
#include <unordered_map>

namespace budwood::record {

namespace {

using Json = nlohmann::ordered_json;

Json used_list(const std::vector<Used>& used) {
  Json out = Json::array();
  for (const Used& use : used) {
    Json one = {{"amount", use.amount}};
    if (!use.unit.empty()) one["unit"] = use.unit;
    one["supply"] = use.supply;
    out.push_back(std::move(one));
  }
  return out;
}

/// Takes what an object says, key by key; wrong kinds and keys that nobody took are told.
class Fields {
 public:
  explicit Fields(const Json& object) : object_(object) {}

  std::string text(const char* key) {
    const Json* value = take(key);
    if (value == nullptr) return "";
    if (!value->is_string()) return must_be(key, "a text");
    return value->get<std::string>();
  }
  std::optional<double> number(const char* key) {
    const Json* value = take(key);
    if (value == nullptr) return std::nullopt;
    if (!value->is_number()) must_be(key, "a number");
    return value->is_number() ? std::optional(value->get<double>()) : std::nullopt;
  }
  std::int64_t whole(const char* key) {
    const Json* value = take(key);
    if (value == nullptr || !value->is_number_integer()) {
      must_be(key, "a whole number");
      return 0;
    }
    return value->get<std::int64_t>();
  }
  const Json* list(const char* key) {
    const Json* value = take(key);
    if (value != nullptr && !value->is_array()) must_be(key, "a list");
    return value != nullptr && value->is_array() ? value : nullptr;
  }
  std::string must_be(const std::string& key, const std::string& kind) {
    if (problem_.empty()) problem_ = "`" + key + "` must be " + kind + ".";
    return "";
  }
  /// What is wrong, once all keys were asked for; "" when nothing is.
  std::string problem() const {
    if (problem_.empty() && taken_ < object_.size()) {
      return "There is a key that entries of this release do not have.";
    }
    return problem_;
  }

 private:
  const Json* take(const char* key) {
    const auto found = object_.find(key);
    if (found == object_.end()) return nullptr;
    ++taken_;
    return &*found;
  }

  const Json& object_;
  std::size_t taken_ = 0;
  std::string problem_;
};

std::optional<std::vector<Used>> used_of(const Json& list) {
  std::vector<Used> out;
  for (const Json& one : list) {
    if (!one.is_object()) return std::nullopt;
    Fields fields(one);
    const auto amount = fields.number("amount");
    Used use{amount.value_or(0), fields.text("unit"), fields.text("supply")};
    if (!amount || !fields.problem().empty()) return std::nullopt;
    out.push_back(std::move(use));
  }
  return out;
}

/// The entry that an object is; what is wrong goes into `problem`.
Entry entry_of(const Json& object, std::string& problem) {
  Fields fields(object);
  Entry entry;
  entry.id = fields.text("id");
  const auto noted = parse_moment(fields.text("noted"));
  if (!noted) fields.must_be("noted", "a moment such as 2027-04-08T07:31:22.123Z");
  entry.noted = noted.value_or(0);
  entry.turn = fields.whole("turn");
  const auto day = calendar::parse_iso_date(fields.text("day"));
  if (!day) fields.must_be("day", "a date such as 2027-04-08");
  entry.day = day.value_or(0);
  entry.by = fields.text("by");
  entry.batch = fields.text("batch");
  entry.place = fields.text("place");
  const auto what = find_what(fields.text("what"));
  if (!what) fields.must_be("what", "what an entry can say, such as `done`");
  entry.what = what.value_or(What::note);
  entry.name = fields.text("name");
  entry.number = fields.number("number");
  entry.of = fields.number("of");
  entry.unit = fields.text("unit");
  entry.seconds = fields.number("seconds");
  entry.tray = fields.text("tray");
  if (const Json* list = fields.list("used")) {
    auto used = used_of(*list);
    if (!used) fields.must_be("used", "a list of amounts of supplies");
    if (used) entry.used = std::move(*used);
  }
  entry.words = fields.text("words");
  entry.corrects = fields.text("corrects");
  problem = fields.problem();
  if (problem.empty()) problem = fault_of(entry);
  return entry;
}

}  // namespace

std::string json_of(const Entry& entry) {
  Json out = {{"id", entry.id},
              {"noted", moment_text(entry.noted)},
              {"turn", entry.turn},
              {"day", calendar::iso_date(entry.day)}};
  const auto text = [&](const char* key, const std::string& value) {
    if (!value.empty()) out[key] = value;
  };
  const auto number = [&](const char* key, const std::optional<double>& value) {
    if (value) out[key] = *value;
  };
  text("by", entry.by);
  text("batch", entry.batch);
  text("place", entry.place);
  out["what"] = word(entry.what);
  text("name", entry.name);
  number("number", entry.number);
  number("of", entry.of);
  text("unit", entry.unit);
  number("seconds", entry.seconds);
  text("tray", entry.tray);
  if (!entry.used.empty()) out["used"] = used_list(entry.used);
  text("words", entry.words);
  text("corrects", entry.corrects);
  return out.dump(-1, ' ', false, Json::error_handler_t::replace);
}

namespace {

/// Older exports count turns from 1: they become moments, of one moment in the order of the file.
void make_turns_moments(std::vector<Entry>& entries) {
  std::unordered_map<std::int64_t, std::int64_t> behind;
  for (Entry& entry : entries) {
    if (entry.turn < entry.noted) entry.turn = entry.noted + behind[entry.noted]++;
  }
}

}  // namespace

std::vector<Entry> read_json_lines(const text::Source& source, text::Diagnostics& diagnostics) {
  std::vector<Entry> out;
  if (!text::is_text(source, diagnostics)) return out;
  const std::string_view all = source.text();
  for (std::size_t begin = 0; begin < all.size();) {
    const std::size_t end = std::min(all.find('\n', begin), all.size());
    const std::string_view line = all.substr(begin, end - begin);
    const text::Span span{&source, static_cast<std::uint32_t>(begin),
                          static_cast<std::uint32_t>(end)};
    begin = end + 1;
    if (line.find_first_not_of(" \t\r") == std::string_view::npos) continue;
    const Json object = Json::parse(line, nullptr, false);
    if (!object.is_object()) {
      diagnostics.error("not-json", span, "This line is no entry.",
                        "`--import` takes what `--export` wrote: a JSON object a line.");
      continue;
    }
    std::string problem;
    Entry entry = entry_of(object, problem);
    if (!problem.empty()) {
      diagnostics.error("bad-entry", span, problem,
                        "Was the file changed by hand, or written by a newer release?");
      continue;
    }
    out.push_back(std::move(entry));
  }
  make_turns_moments(out);
  return out;
}

std::string used_json(const std::vector<Used>& used) {
  return used.empty() ? "" : used_list(used).dump(-1, ' ', false, Json::error_handler_t::replace);
}

std::optional<std::vector<Used>> read_used(const std::string& json) {
  if (json.empty()) return std::vector<Used>{};
  const Json list = Json::parse(json, nullptr, false);
  if (!list.is_array()) return std::nullopt;
  return used_of(list);
}

}  // namespace budwood::record
