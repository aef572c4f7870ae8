#include "sheet/site/daily_totals.hpp"

#include <cmath>

namespace budwood::sheet {

namespace {

constexpr double parts = 4294967296.0;  // 2^32

/// Series grow by so many days at once.
constexpr Day growth = 128;

}  // namespace

double DailyTotals::Amount::value() const {
  return static_cast<double>(whole) + static_cast<double>(part) / parts;
}

std::uint32_t DailyTotals::number_of(const Resource& resource) {
  std::vector<std::uint32_t>& numbers = numbers_[{resource.kind, resource.name}];
  for (const std::uint32_t one : numbers) {
    if (resources_[one] == resource) return one;
  }
  const auto number = static_cast<std::uint32_t>(resources_.size());
  numbers.push_back(number);
  resources_.push_back(resource);
  series_.emplace_back();
  return number;
}

std::optional<std::uint32_t> DailyTotals::find(Resource::Kind kind, std::string_view name) const {
  const auto found = numbers_.find({kind, std::string(name)});
  if (found == numbers_.end()) return std::nullopt;
  return found->second.front();
}

DailyTotals::Amount& DailyTotals::step_on(Series& series, Day day) {
  if (series.steps.empty()) series.first = day;
  if (day < series.first) {
    const Day added = series.first - day + growth;
    series.steps.insert(series.steps.begin(), static_cast<std::size_t>(added), {});
    series.first -= added;
  }
  const auto place = static_cast<std::size_t>(day - series.first);
  if (place >= series.steps.size()) series.steps.resize(place + growth);
  return series.steps[place];
}

void DailyTotals::change(std::uint32_t resource, Day first, Day end, double amount, int sign) {
  const double whole = std::floor(amount);
  const auto part = static_cast<std::int64_t>(std::llround((amount - whole) * parts));
  Series& series = series_[resource];
  const auto add = [&](Day day, std::int64_t times) {
    Amount& step = step_on(series, day);
    step.whole += times * static_cast<std::int64_t>(whole);
    step.part += times * part;
  };
  add(first, sign);
  add(end, -sign);
}

DailyTotals DailyTotals::emptied() const {
  DailyTotals out;
  out.resources_ = resources_;
  out.numbers_ = numbers_;
  out.series_.resize(series_.size());
  return out;
}

void DailyTotals::add(const DailyTotals& other) {
  for (std::size_t i = 0; i < other.series_.size(); ++i) {
    const Series& series = other.series_[i];
    for (std::size_t day = 0; day < series.steps.size(); ++day) {
      const Amount& more = series.steps[day];
      if (more.whole == 0 && more.part == 0) continue;
      Amount& step = step_on(series_[i], series.first + static_cast<Day>(day));
      step.whole += more.whole;
      step.part += more.part;
    }
    series_[i].missing += series.missing;
  }
}

double DailyTotals::on(std::uint32_t resource, Day day) const {
  const Series& series = series_[resource];
  Amount sum;
  const auto days = static_cast<Day>(series.steps.size());
  for (Day i = 0; i < days && series.first + i <= day; ++i) {
    sum.whole += series.steps[static_cast<std::size_t>(i)].whole;
    sum.part += series.steps[static_cast<std::size_t>(i)].part;
  }
  return sum.value();
}

DailyTotals::Profile DailyTotals::profile(std::uint32_t resource) const {
  const Series& series = series_[resource];
  Profile out;
  Amount sum;
  std::size_t used = 0;  // days up to the last one on which some is taken
  for (std::size_t i = 0; i < series.steps.size(); ++i) {
    sum.whole += series.steps[i].whole;
    sum.part += series.steps[i].part;
    const double value = sum.value();
    if (out.days.empty() && value == 0) continue;
    if (out.days.empty()) out.first = series.first + static_cast<Day>(i);
    out.days.push_back(value);
    if (value != 0) used = out.days.size();
  }
  out.days.resize(used);
  return out;
}

}  // namespace budwood::sheet
