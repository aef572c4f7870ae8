/// Results by group: takes, rates of work, days of stages, costs.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "results/outcomes.hpp"
#include "statistics/comparing/groups_compared.hpp"
#include "statistics/intervals.hpp"

namespace budwood::results {

enum class By : std::uint8_t {
  variant,
  edition,
  protocol,
  batch,
  arm,
  tray,
  person,
  lot,
  room,
  week,
  site
};
enum class Of : std::uint8_t { take, rate, days, cost };

/// As they are typed; nothing for other words.
std::optional<By> find_by(std::string_view word);
std::optional<Of> find_of(std::string_view word);
std::string_view word(By by);
std::string_view word(Of of);
/// All words, for messages.
std::vector<std::string> by_words();
std::vector<std::string> of_words();

/// The group of batches that follow no variant, and of what nobody noted.
inline constexpr const char* as_written = "as written";
inline constexpr const char* not_told = "not told";
/// The group of batches that are no trials.
inline constexpr const char* no_trial = "no trial";

/// What is asked for.
struct Question {
  Of of = Of::take;
  By by = By::batch;
  std::string stage;            ///< "" for all that were counted
  bool books_together = false;  ///< groups of one name are one, whichever book they are of
};

/// One group in one stage.
///
///   take: `amount` plants went in, `result` of them were alive; `value` is their share
///   rate: `amount` hours, `result` plants; `value` is plants an hour of one person
///   days: `value` is the mean, `low` and `high` of `seen` the shortest and longest
///   cost: `amount` is money, `result` good plants; `value` is the cost of one
struct Row {
  std::size_t book = 0;  ///< in the list that was asked of
  std::string group;
  std::string protocol;   ///< the method, whatever variant
  std::string stage;      ///< its name; "" for costs
  std::string title;      ///< of the stage, or of the work
  std::size_t units = 0;  ///< trays, samples and batches; jobs; times
  double amount = 0, result = 0, value = 0;
  /// 95 %: of shares see statistics::scattered_interval, of rates by Student's t.
  std::optional<statistics::Interval> interval;
  /// Of rates, days and costs: `value` with its error, of two jobs, times or batches or more.
  std::optional<statistics::Estimate> estimate;
  std::optional<statistics::Interval> seen;   ///< of days
  std::optional<double> usual;                ///< as the protocol has it
  std::optional<statistics::Interval> range;  ///< of days, as the protocol has it
  bool start_noted = true;                    ///< false: some starts are those of the plan
  std::optional<calendar::Day> began;         ///< of takes: when the stage began, the first of them
};

struct Summary {
  Question question;
  std::vector<std::string> books;  ///< their names
  std::vector<Row> rows;           ///< by book, protocol, stage as it follows, then group
  std::vector<LeftOut> left_out;
};

/// A book that is asked of.
struct Asked {
  std::string name;
  const plan::Plan* plan = nullptr;
};

/// The results of some books, side by side. A stage that no protocol has gives no rows.
Summary summarise(const std::vector<Asked>& books, const Question& question);

/// Why a question makes no sense; "" when it does.
std::string misuse_of(const Question& question);

}  // namespace budwood::results
