#include <algorithm>
#include <cmath>
#include <map>
#include <ostream>

#include "pictures/batch_rows.hpp"
#include "pictures/frame.hpp"
#include "pictures/pictures.hpp"
#include "pictures/room_fills.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Point;
using drawing::Rect;
using drawing::Svg;
using drawing::TextStyle;

constexpr double words_width = 372;  ///< of the column on the left
constexpr double usual_width = 860;  ///< of all days
constexpr double narrowest_day = 2;
constexpr double widest_day = 20;
constexpr double part_height = 24;
constexpr double title_height = 14;
constexpr double fact_height = 12.5;
constexpr double work_height = 12;
constexpr double bar_height = 14;
constexpr double row_gap = 9;

const TextStyle part_text{12, true};
const TextStyle title_text{11, true};
const TextStyle fact_text{9.5};
const TextStyle work_text{9};
const TextStyle bar_text{9, false, TextStyle::Anchor::middle};

const Pen thin{0.8};
const Pen whisker_pen{1.4};
const Pen wait_pen{1, Pen::Dash::short_dashes, Pen::Fill::white};
const Pen arrow_pen{1.3, Pen::Dash::none, Pen::Fill::none, true};
const Pen join_pen{2, Pen::Dash::none, Pen::Fill::none, true};

/// A row with its words broken into lines.
struct PlacedRow {
  const StageRow* row = nullptr;
  double y = 0;  ///< of its top
  std::vector<std::string> title, facts, gate;

  double words_height() const {
    return title_height * static_cast<double>(title.size()) +
           fact_height * static_cast<double>(facts.size() + gate.size());
  }
  double works_top() const { return y + words_height() + 2; }
  double height() const {
    return words_height() + 2 + work_height * static_cast<double>(row->works.size()) + row_gap;
  }
  double middle() const { return y + 2 + bar_height / 2; }
};

std::vector<std::string> title_lines(const plan::Plan& plan, const plan::BatchPlan& batch) {
  const language::Protocol& protocol = plan.protocol_of(batch);
  const book::Batch& facts = plan.facts_of(batch);
  std::string method =
      report::shown_name(protocol) + ", edition " + std::to_string(protocol.edition);
  if (!facts.cultivar.empty()) method += "; cultivar " + facts.cultivar;
  return {method, plan.book->site.name.value, facts.note};
}

class BatchDrawing {
 public:
  BatchDrawing(std::ostream& out, const plan::Plan& plan, std::size_t batch,
               std::optional<calendar::Day> today)
      : plan_(plan),
        batch_(plan.batches[batch]),
        parts_(rows_of(plan, batch)),
        fills_(plan),
        axis_(days(), margin + words_width, day_width(days())),
        width_(axis_.right() + margin),
        head_(title(), lines(today), width_),
        legend_(legend_entries(), width_ - 2 * margin),
        lines_(axis_, day_lines(today)) {
    place_rows();
    Svg svg(
        out, width_, bottom_ + margin, title(),
        "The stages of the batch along its days, one lane for each part, with the work of each.");
    draw(svg);
  }

 private:
  drawing::DayRange days() const {
    drawing::DayRange out = days_of(parts_);
    if (const auto day = ready()) out.last = std::max(out.last, *day);
    return out;
  }
  static double day_width(const drawing::DayRange& days) {
    return std::clamp(usual_width / static_cast<double>(days.size()), narrowest_day, widest_day);
  }
  std::optional<calendar::Day> ready() const { return plan_.row_of(batch_).ready(); }
  std::string title() const {
    const book::Batch& facts = plan_.facts_of(batch_);
    std::string text = "Batch " + facts.id.value + ": " +
                       report::plants_text(static_cast<double>(facts.plants.value),
                                           plan_.protocol_of(batch_).of_site);
    if (const auto day = ready()) text += " ready on " + calendar::short_date(*day);
    return text;
  }
  std::vector<std::string> lines(std::optional<calendar::Day> today) const {
    std::vector<std::string> out = title_lines(plan_, batch_);
    out.push_back(outside_words(today, days()));
    return out;
  }
  std::vector<DayLine> day_lines(std::optional<calendar::Day> today) const {
    std::vector<DayLine> out;
    add_today(out, today);
    if (const auto day = ready()) out.push_back({"ready", *day});
    return out;
  }

  template <class Test>
  bool has(Test test) const {
    return std::any_of(parts_.begin(), parts_.end(), [&](const PartRows& part) {
      return std::any_of(part.stages.begin(), part.stages.end(), test);
    });
  }

  /// Only what there is.
  std::vector<drawing::LegendEntry> legend_entries() const {
    using Sample = drawing::LegendEntry::Sample;
    std::set<std::string> rooms;
    for (const PartRows& part : parts_) {
      for (const StageRow& row : part.stages) rooms.insert(row.room);
    }
    std::vector<drawing::LegendEntry> out = fills_.legend(rooms);
    if (has([](const StageRow& row) { return row.bar.earliest < row.bar.latest; })) {
      out.push_back({whisker_pen, Sample::whisker, "it may end as early or as late as this"});
    }
    if (has([](const StageRow& row) { return row.bar.waits > 0; })) {
      out.push_back({wait_pen, Sample::area, "plants wait"});
    }
    if (has([](const StageRow& row) { return !row.gate.empty(); })) {
      out.push_back({{}, Sample::diamond, "must be seen before the stage ends"});
    }
    const auto has_turn = [&](bool done) {
      return has([&](const StageRow& row) {
        return std::any_of(row.works.begin(), row.works.end(), [&](const WorkRow& work) {
          return std::any_of(work.turns.begin(), work.turns.end(),
                             [&](const WorkRow::Turn& turn) { return turn.done == done; });
        });
      });
    };
    if (has_turn(false)) out.push_back({{}, Sample::square, "work on that day"});
    if (has_turn(true)) out.push_back({{}, Sample::full_square, "work that is done"});
    if (has([](const StageRow& row) { return row.takes.size() > 1; })) {
      out.push_back({join_pen, Sample::line, "parts are joined"});
    }
    return out;
  }

  void place_rows() {
    double y = head_.height() + legend_.height();
    axis_top_ = y + (lines_.empty() ? 0 : DayLines::row_height);
    y = rows_top();
    for (const PartRows& part : parts_) {
      part_tops_.push_back(y);
      y += part_height;
      for (const StageRow& row : part.stages) {
        PlacedRow placed{&row, y, {}, {}, {}};
        constexpr double room = words_width - 16;
        constexpr std::size_t most = 2;
        placed.title = drawing::wrap_text(row.title, room, most, title_text);
        for (const std::string& fact : row.facts) {
          const auto lines = drawing::wrap_text(fact, room, most, fact_text);
          placed.facts.insert(placed.facts.end(), lines.begin(), lines.end());
        }
        if (!row.gate.empty())
          placed.gate = drawing::wrap_text(row.gate, room - 16, most, fact_text);
        y += placed.height();
        by_stage_[row.bar.stage] = rows_.size();
        rows_.push_back(std::move(placed));
      }
    }
    bottom_ = y;
  }
  double rows_top() const {
    return axis_top_ + drawing::DateAxis::height + drawing::DateAxis::dates_height;
  }

  void draw(Svg& svg) const {
    head_.draw(svg);
    legend_.draw(svg, {margin, head_.height()});
    axis_.draw_labels(svg, axis_top_);
    axis_.draw_dates(svg, axis_top_ + drawing::DateAxis::height);
    axis_.draw_week_lines(svg, rows_top(), bottom_);
    for (std::size_t p = 0; p < parts_.size(); ++p) {
      const double y = part_tops_[p];
      svg.lines({{margin, y}, {axis_.right(), y}}, Pen{1.2});
      svg.text({margin, y + 16}, cut(parts_[p].title, words_width - 16, part_text), part_text);
    }
    svg.lines({{margin, bottom_}, {axis_.right(), bottom_}}, Pen{1.2});
    for (const PlacedRow& row : rows_) draw_arrows(svg, row);
    for (const PlacedRow& row : rows_) {
      svg.begin_group(row.row->title);
      draw_words(svg, row);
      draw_bar(svg, row);
      draw_works(svg, row);
      svg.end_group();
    }
    lines_.draw(svg, axis_top_ - DayLines::row_height, bottom_);
  }

  /// Plants go on straight down (or up) from where they stood.
  void draw_arrows(Svg& svg, const PlacedRow& row) const {
    for (const language::StageId taken : row.row->takes) {
      const PlacedRow& from = rows_[by_stage_.at(taken)];
      const double x = axis_.x_of(row.row->bar.start);
      const double left = std::min(x, across(axis_, from.row->bar).right());
      const double reach = bar_height / 2 * (from.y < row.y ? -1 : 1);
      svg.lines({{left, from.middle()}, {x, from.middle()}, {x, row.middle() + reach}},
                row.row->takes.size() > 1 ? join_pen : arrow_pen);
    }
  }

  void draw_words(Svg& svg, const PlacedRow& row) const {
    double y = row.y;
    for (const std::string& line : row.title) {
      svg.text({margin, y + 11}, line, title_text);
      y += title_height;
    }
    for (const std::string& line : row.facts) {
      svg.text({margin, y + 9.5}, line, fact_text);
      y += fact_height;
    }
    if (!row.gate.empty()) drawing::draw_diamond(svg, {margin + 6, y + 6});
    for (const std::string& line : row.gate) {
      svg.text({margin + 16, y + 9.5}, line, fact_text);
      y += fact_height;
    }
  }

  void draw_bar(Svg& svg, const PlacedRow& placed) const {
    const StageBar& bar = placed.row->bar;
    Rect place = across(axis_, bar);
    place.y = placed.y + 2;
    place.height = bar_height;
    if (bar.waits > 0) {
      const double end = axis_.x_of(bar.end + bar.waits);
      svg.rect({place.right(), place.y + 3, end - place.right(), bar_height - 6}, wait_pen);
    }
    const Pen pen = fills_.pen(placed.row->room);
    svg.rect(place, pen);
    const std::string days = calendar::days_text(bar.end - bar.start);
    const double need = drawing::text_width(days, bar_text) + 6;
    if (bar.end > bar.start && need < place.width) {
      const double x = place.x + place.width / 2;
      if (pen.fill != Pen::Fill::white)
        svg.ground({x - need / 2, place.y + 1.5, need, bar_height - 3});
      svg.text({x, place.y + 10.5}, days, bar_text);
    }
    if (bar.earliest < bar.latest) {
      drawing::draw_whisker(svg, axis_.x_of(bar.earliest), axis_.x_of(bar.latest),
                            place.bottom() + 5, whisker_pen);
    }
    if (!placed.row->gate.empty()) drawing::draw_diamond(svg, {place.right(), placed.middle()});
  }

  void draw_works(Svg& svg, const PlacedRow& row) const {
    constexpr double indent = 10;
    double y = row.works_top();
    for (const WorkRow& work : row.row->works) {
      svg.begin_group(work.title);
      svg.text({margin + indent, y + 9}, cut(work.title, words_width - indent - 16, work_text),
               work_text);
      for (const WorkRow::Turn& turn : work.turns) {
        drawing::draw_mark(svg, {axis_.x_of(turn.date) + axis_.day_width() / 2, y + 6}, turn.done);
      }
      svg.end_group();
      y += work_height;
    }
  }

  const plan::Plan& plan_;
  const plan::BatchPlan& batch_;
  std::vector<PartRows> parts_;
  RoomFills fills_;
  drawing::DateAxis axis_;
  double width_;
  Head head_;
  drawing::Legend legend_;
  DayLines lines_;
  double axis_top_ = 0;
  double bottom_ = 0;
  std::vector<double> part_tops_;
  std::vector<PlacedRow> rows_;
  std::map<language::StageId, std::size_t> by_stage_;
};

}  // namespace

bool write_batch_plan(std::ostream& out, const plan::Plan& plan, std::size_t batch,
                      std::optional<calendar::Day> today) {
  if (!plan.batches[batch].dated) {
    const std::string id = plan.facts_of(plan.batches[batch]).id.value;
    write_empty(out, "Batch " + id,
                plan.batches[batch].raised
                    ? "It has no dates, so there is nothing to draw."
                    : "All its plants are taken of stock, so there is nothing to draw.");
    return false;
  }
  BatchDrawing(out, plan, batch, today);
  return true;
}

}  // namespace budwood::pictures
