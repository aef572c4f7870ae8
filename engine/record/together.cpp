#include "record/together.hpp"

#include <algorithm>
#include <limits>
#include <map>
#include <set>

#include "record/standing.hpp"

namespace budwood::record {

namespace {

/// So many days beside those of a batch that it can be no slip of the year.
constexpr calendar::Day far_days = 2 * 366;

/// Whether it happens to plants or to work of a batch, as it does no more once that is given up.
bool goes_on(What what) {
  switch (what) {
    case What::done:
    case What::left_out:
    case What::seen:
    case What::not_seen:
    case What::counted:
    case What::lost:
    case What::started:
    case What::ended:
      return true;
    default:
      return false;
  }
}

class Together {
 public:
  Together(const std::vector<Entry>& there, const std::vector<Fresh>& fresh, const Known& known,
           text::Diagnostics& diagnostics)
      : fresh_(fresh), known_(known), diagnostics_(diagnostics) {
    std::vector<Entry> all = there;
    std::int64_t turn =
        std::numeric_limits<std::int64_t>::max() - static_cast<std::int64_t>(fresh.size());
    for (const Fresh& one : fresh) {
      all.push_back(one.entry);
      all.back().turn = turn++;
    }
    for (std::size_t i = 0; i < fresh.size(); ++i) places_[fresh[i].entry.id] = i;
    holding_ = standing(std::move(all));
    for (const Entry& one : holding_) {
      held_.insert(one.id);
      if (one.what == What::started) started_[whole_place(one)] = &one;
      if (one.what == What::ended) ended_[whole_place(one)] = &one;
      if (one.what == What::stopped) stopped_[one.batch] = &one;
      if (!goes_on(one.what)) continue;
      const Entry*& last = last_.try_emplace(one.batch, &one).first->second;
      if (last->day < one.day) last = &one;
    }
  }

  void check() {
    for (const Fresh& one : fresh_) {
      check_day(one);
      if (!held_.contains(one.entry.id)) continue;
      if (one.entry.what == What::started || one.entry.what == What::ended) check_dates(one);
      if (goes_on(one.entry.what)) check_stopped(one);
      if (one.entry.what == What::stopped) check_what_went_on(one);
    }
  }

 private:
  using Found = std::map<std::string, const Entry*>;

  /// Whether an entry stands behind another among those that are to be noted.
  bool is_behind(const Entry& entry, const Entry& other) const {
    const auto found = places_.find(entry.id);
    return found != places_.end() && found->second > places_.at(other.id);
  }
  static const Entry* find(const Found& found, const std::string& name) {
    const auto one = found.find(name);
    return one == found.end() ? nullptr : one->second;
  }
  /// Of a batch, or what was noted later of the whole that it is a cultivar of; of a whole, of each
  /// cultivar too.
  std::vector<const Entry*> all_of(const Found& found, const std::string& batch,
                                   const std::string& place) const {
    const auto of = [&](const std::string& name) {
      return find(found, place.empty() ? name : name + "/" + place);
    };
    std::vector<const Entry*> out = {of(batch)};
    if (const std::string whole = known_.whole_of(batch); !whole.empty()) {
      const Entry* of_all = of(whole);
      const bool later = of_all != nullptr && (out[0] == nullptr || noted_before(*out[0], *of_all));
      if (later) out[0] = of_all;
    }
    for (const std::string& name : known_.cultivars_of(batch)) out.push_back(of(name));
    std::erase(out, nullptr);
    return out;
  }

  void check_day(const Fresh& one) {
    const auto days = known_.days_of(one.entry.batch);
    if (!days) return;
    const calendar::Day day = one.entry.day;
    if (day == day_now()) return;  // nobody's slip of the pen
    if (day >= days->first - far_days && day <= days->last + far_days) return;
    diagnostics_.error("far-day", one.span,
                       calendar::iso_date(day) + " is years away: " +
                           (one.entry.batch.empty() ? std::string("the batches of this book are")
                                                    : "batch `" + one.entry.batch + "` is") +
                           " planned from " + calendar::iso_date(days->first) + " to " +
                           calendar::iso_date(days->last) + ".",
                       "Check the year.");
  }

  void check_dates(const Fresh& one) {
    const Entry& entry = one.entry;
    const bool starts = entry.what == What::started;
    for (const Entry* other : all_of(starts ? ended_ : started_, entry.batch, entry.place)) {
      if (starts ? entry.day <= other->day : entry.day >= other->day) continue;
      if (is_behind(*other, entry)) continue;  // told there
      diagnostics_.error("ended-before-start", one.span,
                         "`" + entry.place + "` " + (starts ? "began" : "was over") + " on " +
                             calendar::short_date(entry.day) + ", but " +
                             (starts ? "was over" : "began") + " on " +
                             calendar::short_date(other->day) + " already as it is noted.",
                         advice("correct", *other, "with ..."));
      return;
    }
  }

  void check_stopped(const Fresh& one) {
    for (const Entry* stop : all_of(stopped_, one.entry.batch, "")) {
      if (one.entry.day <= stop->day || is_behind(*stop, one.entry)) continue;
      diagnostics_.error("after-stop", one.span,
                         "Batch `" + one.entry.batch + "` was given up on " +
                             calendar::short_date(stop->day) + ".",
                         advice("withdraw", *stop, "\"...\""));
      return;
    }
  }

  void check_what_went_on(const Fresh& one) {
    for (const Entry* last : all_of(last_, one.entry.batch, "")) {
      if (last->day <= one.entry.day || is_behind(*last, one.entry)) continue;
      diagnostics_.error("after-stop", one.span,
                         "Something is noted of batch `" + one.entry.batch + "` on " +
                             calendar::short_date(last->day) + ", after it would be given up: `" +
                             word(last->what) + "`.",
                         advice("withdraw", *last, "\"...\""));
      return;
    }
  }

  /// What helps when the other entry is the wrong one.
  std::string advice(const char* what, const Entry& other, const char* rest) const {
    constexpr std::size_t readable = 8;
    if (places_.contains(other.id)) return "Check both days.";
    return std::string("Check both days. When the other is wrong: `") + what + " " +
           other.id.substr(0, readable) + " " + rest + "`.";
  }

  const std::vector<Fresh>& fresh_;
  const Known& known_;
  text::Diagnostics& diagnostics_;
  std::map<std::string, std::size_t> places_;  ///< of those that are to be noted
  std::vector<Entry> holding_;
  std::set<std::string_view> held_;
  Found started_, ended_, stopped_, last_;
};

}  // namespace

void check_together(const std::vector<Entry>& there, const std::vector<Fresh>& fresh,
                    const Known& known, text::Diagnostics& diagnostics) {
  Together(there, fresh, known, diagnostics).check();
}

}  // namespace budwood::record
