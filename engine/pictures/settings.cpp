#include <algorithm>
#include <cmath>
#include <ostream>
#include <set>

#include "pictures/frame.hpp"
#include "pictures/panel_drawing.hpp"
#include "pictures/pictures.hpp"
#include "pictures/settings_panels.hpp"
#include "report/formats/wording.hpp"
#include "report/needs/needs_words.hpp"

namespace budwood::pictures {

namespace {

using drawing::Pen;
using drawing::Rect;
using drawing::Svg;
using drawing::TextStyle;

constexpr double settings_usual_width = 880;  ///< of all days
constexpr double settings_narrowest_day = 4;
constexpr double settings_widest_day = 36;
constexpr double section_height = 24;
constexpr double stage_height = 18;
constexpr double numbers_height = 13;
constexpr double section_gap = 18;

const TextStyle section_text{12, true};
const TextStyle stage_text{9.5, true};
const TextStyle number_text{8, false, TextStyle::Anchor::middle};
const TextStyle settings_plain_text{10};

const Pen settings_thin{0.8};
const Pen settings_wait_pen{0.8, Pen::Dash::short_dashes, Pen::Fill::white};

class SettingsDrawing {
 public:
  SettingsDrawing(std::ostream& out, const plan::Plan& plan, const SettingsPicture& picture)
      : plan_(plan),
        picture_(picture),
        axis_(picture.days, margin + panel_indent,
              std::clamp(settings_usual_width / static_cast<double>(picture.days.size()),
                         settings_narrowest_day, settings_widest_day)),
        width_(axis_.right() + panel_names + margin),
        head_(title(), lines(), width_) {
    double height = head_.height();
    for (const Section& section : picture.sections) height += height_of(section);
    Svg svg(out, width_, height + margin, title(),
            "What is set on each day, and what follows for the plants: a panel for each value.");
    head_.draw(svg);
    double y = head_.height();
    for (const Section& section : picture.sections) {
      draw_section(svg, section, y);
      y += height_of(section);
    }
  }

 private:
  std::set<std::size_t> batches() const {
    std::set<std::size_t> out;
    for (const Section& section : picture_.sections) out.insert(section.batch);
    return out;
  }
  const std::string& id_of(std::size_t batch) const {
    return plan_.facts_of(plan_.batches[batch]).id.value;
  }
  std::string title() const {
    const std::set<std::size_t> all = batches();
    return all.size() == 1 ? "Settings of batch " + id_of(*all.begin())
                           : "Settings of " + std::to_string(all.size()) + " batches";
  }
  std::vector<std::string> lines() const {
    std::set<std::string> methods;
    for (const std::size_t batch : batches()) {
      const language::Protocol& one = plan_.protocol_of(plan_.batches[batch]);
      methods.insert(report::shown_name(one) + ", edition " + std::to_string(one.edition));
    }
    return {report::joined({methods.begin(), methods.end()}, "; "), plan_.book->site.name.value};
  }

  static double head_height() {
    return section_height + drawing::DateAxis::height + drawing::DateAxis::dates_height +
           stage_height + numbers_height;
  }
  static double height_of(const Section& section) {
    return head_height() + static_cast<double>(section.panels.size()) * panel_height + section_gap;
  }

  void draw_section(Svg& svg, const Section& section, double top) const {
    const std::string name =
        (batches().size() > 1 ? "Batch " + id_of(section.batch) + ": " : "") + section.title;
    svg.begin_group(name);
    svg.lines({{margin, top}, {width_ - margin, top}}, Pen{1.2});
    svg.text({margin, top + 17}, cut(name, width_ - 2 * margin, section_text), section_text);
    double y = top + section_height;
    axis_.draw_labels(svg, y);
    y += drawing::DateAxis::height;
    axis_.draw_dates(svg, y);
    y += drawing::DateAxis::dates_height;
    const double panels = top + head_height();
    const double bottom = panels + static_cast<double>(section.panels.size()) * panel_height;
    svg.text({margin, y + 13}, "Stage", settings_plain_text);
    svg.text({margin, y + stage_height + 9}, "Day of the stage", settings_plain_text);
    for (const SettingsSpan& span : section.spans) {
      draw_span(svg, span, y);
      draw_numbers(svg, span, y + stage_height);
      draw_boundaries(svg, span, panels, bottom);
    }
    y = panels;
    for (const Panel& panel : section.panels) {
      draw_panel(svg, panel, section, axis_, y);
      y += panel_height;
    }
    svg.end_group();
  }

  double end_of(const SettingsSpan& span) const {
    return axis_.x_of(span.first + static_cast<calendar::Day>(span.days));
  }
  double left_at(const SettingsSpan& span) const {
    return axis_.x_of(span.first + static_cast<calendar::Day>(span.days + span.waits));
  }

  void draw_span(Svg& svg, const SettingsSpan& span, double top) const {
    const double x = axis_.x_of(span.first);
    const double end = end_of(span);
    if (span.waits > 0) {
      svg.rect({end, top + 3, left_at(span) - end, stage_height - 7}, settings_wait_pen);
    }
    if (end > x)
      svg.rect({x, top, end - x, stage_height - 1}, {1, Pen::Dash::none, Pen::Fill::white});
    constexpr double least = 24;  // a letter or two say nothing
    if (end - x < least) return;
    svg.text({x + 4, top + 12.5}, cut(span.title, end - x - 8, stage_text), stage_text);
  }

  /// Each day where there is room, else day 1 and every so many.
  void draw_numbers(Svg& svg, const SettingsSpan& span, double top) const {
    const double need = drawing::text_width("000", number_text);
    int every = 1;
    for (const int step : {1, 5, 10, 20, 50, 100}) {
      every = step;
      if (step * axis_.day_width() >= need) break;
    }
    for (std::size_t i = 0; i < span.days; ++i) {
      const int number = span.day + static_cast<int>(i);
      if (every > 1 && number % every != 0) continue;
      const double x =
          axis_.x_of(span.first + static_cast<calendar::Day>(i)) + axis_.day_width() / 2;
      svg.text({x, top + 9}, std::to_string(number), number_text);
    }
  }

  void draw_boundaries(Svg& svg, const SettingsSpan& span, double top, double bottom) const {
    for (const double x : {axis_.x_of(span.first), left_at(span)}) {
      svg.lines({{x, top}, {x, bottom}}, settings_thin);
    }
    if (span.waits > 0) {
      svg.lines({{end_of(span), top}, {end_of(span), bottom}}, {0.8, Pen::Dash::short_dashes});
    }
  }

  const plan::Plan& plan_;
  const SettingsPicture& picture_;
  drawing::DateAxis axis_;
  double width_;
  Head head_;
};

}  // namespace

bool write_settings(std::ostream& out, const plan::Plan& plan, const report::Filter& filter) {
  const SettingsPicture picture = settings_picture(plan, filter);
  if (picture.sections.empty()) {
    write_empty(out, "Settings of " + plan.book->site.name.value,
                report::nothing_found(filter, "settings"));
    return false;
  }
  SettingsDrawing(out, plan, picture);
  return true;
}

}  // namespace budwood::pictures
