#include <charconv>

#include "language/parse/tree_builder.hpp"

namespace budwood::language {

syntax::Stage TreeBuilder::stage(P::StageHeadContext* head, P::StageBodyContext* body) {
  syntax::Stage stage;
  stage.name = name(head->name(0));
  stage.title = optional_text(head->STRING());
  stage.head = places_.span(head);
  if (head->JOINS() != nullptr) {
    stage.joined = {name(head->name(1)), name(head->name(2))};
    stage.part = name(head->name(3));
  } else {
    stage.part = name(head->name(1));
  }
  if (body == nullptr) return stage;
  for (P::StageItemContext* item : body->stageItem()) {
    if (broken(item)) {
      unread_ = stage.has_unread = true;
      stage.has_unread_after = stage.has_unread_after || item->after() != nullptr;
      continue;
    }
    for (syntax::StageItem& one : stage_items(item)) stage.items.push_back(std::move(one));
  }
  if (passed_over(body)) unread_ = stage.has_unread = true;
  return stage;
}

/// One statement; a `keep` of several levels is several.
std::vector<syntax::StageItem> TreeBuilder::stage_items(P::StageItemContext* item) {
  std::vector<syntax::StageItem> items;
  if (auto* after_rule = item->after()) {
    syntax::After after{name(after_rule->name()), std::nullopt, places_.span(after_rule)};
    if (after_rule->range() != nullptr) after.by = range(after_rule->range());
    items.emplace_back(std::move(after));
  } else if (auto* room_rule = item->room()) {
    items.emplace_back(syntax::Room{name(room_rule->name())});
  } else if (auto* space_rule = item->space()) {
    items.emplace_back(space(space_rule));
  } else if (auto* lasts_rule = item->lasts()) {
    items.emplace_back(lasts(lasts_rule));
  } else if (auto* within_rule = item->startsWithin()) {
    items.emplace_back(
        syntax::StartsWithin{range(within_rule->range()),
                             name(within_rule->name()),
                             {within_rule->edge()->getText(), places_.span(within_rule->edge())},
                             places_.span(within_rule)});
  } else if (auto* season_rule = item->season()) {
    items.emplace_back(season(season_rule));
  } else if (auto* gate_rule = item->gate()) {
    items.emplace_back(gate(gate_rule));
  } else if (auto* mayWait_rule = item->mayWait()) {
    items.emplace_back(syntax::Wait{formula(mayWait_rule->formula()), places_.span(mayWait_rule)});
  } else if (auto* holds_rule = item->holds()) {
    std::size_t next = 0;
    syntax::Hold hold{formula(holds_rule->formula(next++)), {}, {}, places_.span(holds_rule)};
    if (holds_rule->AT() != nullptr) hold.at = formula(holds_rule->formula(next++));
    if (holds_rule->LOSES() != nullptr) hold.loss = formula(holds_rule->formula(next));
    items.emplace_back(std::move(hold));
  } else if (auto* noWait_rule = item->noWait()) {
    items.emplace_back(syntax::Wait{std::nullopt, places_.span(noWait_rule)});
  } else if (auto* loses_rule = item->loses()) {
    items.emplace_back(syntax::Loses{formula(loses_rule->formula()), places_.span(loses_rule)});
  } else if (auto* takes_rule = item->takes()) {
    items.emplace_back(syntax::Takes{name(takes_rule->name()), places_.span(takes_rule)});
  } else if (auto* yields_rule = item->yields()) {
    items.emplace_back(syntax::Yields{formula(yields_rule->formula()), places_.span(yields_rule)});
  } else if (auto* picks_rule = item->picks()) {
    items.emplace_back(picks(picks_rule));
  } else if (auto* grades_rule = item->grades()) {
    items.emplace_back(grades(grades_rule));
  } else if (auto* discard_rule = item->discard()) {
    items.emplace_back(syntax::Discard{name(discard_rule->NAME()), places_.span(discard_rule)});
  } else if (auto* cover_rule = item->cover()) {
    items.emplace_back(syntax::Cover{name(cover_rule->NAME()), places_.span(cover_rule)});
  } else if (auto* whole_rule = item->whole()) {
    items.emplace_back(syntax::Whole{name(whole_rule->name()), places_.span(whole_rule)});
  } else if (auto* minimum_rule = item->minimum()) {
    items.emplace_back(
        syntax::Minimum{formula(minimum_rule->formula()), places_.span(minimum_rule)});
  } else if (auto* work_rule = item->work()) {
    items.emplace_back(work(work_rule));
  } else if (auto* move_rule = item->move()) {
    items.emplace_back(syntax::Move{work_items(move_rule->workBody()),
                                    places_.span(move_rule->MOVE()->getSymbol())});
  } else if (auto* keep_rule = item->keep()) {
    for (syntax::Setting& level : keep(keep_rule)) items.emplace_back(std::move(level));
  } else if (auto* taper_rule = item->taper()) {
    items.emplace_back(taper(taper_rule));
  } else if (auto* mist_rule = item->mist()) {
    items.emplace_back(mist(mist_rule));
  } else if (auto* irrigate_rule = item->irrigate()) {
    if (auto watering = irrigate(irrigate_rule)) items.emplace_back(std::move(*watering));
  } else if (auto* note_rule = item->note()) {
    items.emplace_back(syntax::Note{text_of(note_rule->STRING())});
  } else if (auto* source_rule = item->source()) {
    items.emplace_back(syntax::SourceNote{text_of(source_rule->STRING())});
  } else if (auto* requirement_rule = item->requirement()) {
    items.emplace_back(requirement(requirement_rule));
  } else if (auto* conditional_rule = item->conditional()) {
    items.emplace_back(conditional(conditional_rule));
  } else if (auto* waive_rule = item->waive()) {
    items.emplace_back(waive(waive_rule));
  }
  return items;
}

syntax::Space TreeBuilder::space(P::SpaceContext* context) {
  syntax::Space space;
  space.span = places_.span(context);
  for (P::SpaceLevelContext* written : context->spaceLevel()) {
    syntax::SpaceLevel level;
    level.span = places_.span(written);
    level.amount = formula(written->formula(0));
    if (written->BY() != nullptr) level.across = formula(written->formula(1));
    if (written->spaceUnit() != nullptr) level.unit = unit(written->spaceUnit());
    if (written->days() != nullptr) level.days = days(written->days());
    space.levels.push_back(std::move(level));
  }
  return space;
}

syntax::Picks TreeBuilder::picks(P::PicksContext* context) {
  syntax::Picks picks;
  picks.span = places_.span(context);
  for (P::PickContext* one : context->pick()) {
    picks.picks.push_back({formula(one->formula()), day_ref(one->dayRef()), places_.span(one)});
  }
  return picks;
}

syntax::Grades TreeBuilder::grades(P::GradesContext* context) {
  syntax::Grades grades;
  grades.span = places_.span(context);
  for (P::GradeContext* one : context->grade()) {
    syntax::Grade grade{name(one->name()), formula(one->formula()), {}, places_.span(one)};
    if (P::GradeWayContext* way = one->gradeWay()) {
      std::string words;
      for (antlr4::tree::TerminalNode* word : way->TAIL_WORD()) {
        words += (words.empty() ? "" : " ") + word->getText();
      }
      grade.way = syntax::Text{std::move(words), places_.span(way)};
    }
    grades.grades.push_back(std::move(grade));
  }
  return grades;
}

syntax::Lasts TreeBuilder::lasts(P::LastsContext* context) {
  syntax::Lasts lasts;
  lasts.range = range(context->range());
  lasts.span = places_.span(context);
  if (context->formula() != nullptr) lasts.usually = formula(context->formula());
  if (P::HeatContext* heat = context->heat()) {
    lasts.heat.emplace();
    lasts.heat->base = formula(heat->formula(0));
    if (heat->UP() != nullptr) lasts.heat->upper = formula(heat->formula(1));
    if (heat->name() != nullptr) lasts.heat->method = name(heat->name());
    lasts.heat->span = places_.span(heat);
  }
  return lasts;
}

syntax::Season TreeBuilder::season(P::SeasonContext* context) {
  const auto day = [&](P::YearDayContext* written) {
    return syntax::SeasonDay{whole_number(written->NUMBER(), 1, 31, "A day of a month"),
                             name(written->NAME()), places_.span(written)};
  };
  return {day(context->yearDay(0)), day(context->yearDay(1)), places_.span(context)};
}

syntax::Gate TreeBuilder::gate(P::GateContext* context) {
  syntax::Gate gate;
  gate.condition = formula(context->formula(0));
  if (context->MOST() != nullptr) gate.at_most = formula(context->formula(1));
  gate.span = places_.span(context);
  gate.written = written(context->formula(0));
  return gate;
}

syntax::Conditional TreeBuilder::conditional(P::ConditionalContext* context) {
  P::ConditionalHeadContext* head = context->conditionalHead();
  syntax::Conditional out;
  out.condition = formula(head->formula());
  out.written = written(head->formula());
  out.day = day_ref(head->dayRef());
  out.span = places_.span(head);
  if (context->conditionalBody() == nullptr) return out;
  for (P::ConditionalItemContext* item : context->conditionalBody()->conditionalItem()) {
    if (broken(item)) {
      unread_ = out.has_unread = true;
    } else if (item->warn() != nullptr) {
      out.warnings.push_back(text_of(item->warn()->STRING()));
    } else if (item->work() != nullptr) {
      out.works.push_back(work(item->work()));
    }
  }
  return out;
}

/// One setting for each level. A level that does not say where it begins follows the one before it.
std::vector<syntax::Setting> TreeBuilder::keep(P::KeepContext* context) {
  std::vector<syntax::Setting> out;
  syntax::Half common = half(context->half());
  for (P::LevelContext* level : context->level()) {
    syntax::Setting setting;
    setting.name = name(context->name());
    std::size_t next = 0;
    setting.first = formula(level->formula(next++));
    if (level->TO() != nullptr) {
      setting.high = formula(level->formula(next++));
      setting.bound = syntax::Bound::range;
    } else if (level->AT() != nullptr) {
      setting.bound = level->LEAST() != nullptr ? syntax::Bound::at_least : syntax::Bound::at_most;
    }
    if (level->FOR() != nullptr) setting.hours = formula(level->formula(next));
    if (level->half() != nullptr) common = half(level->half());
    setting.half = common;
    setting.days = days(level->days());
    setting.span =
        out.empty() ? places_.span(context->KEEP()->getSymbol(), level->stop) : places_.span(level);
    if (!out.empty() && !setting.days.from) {
      const std::optional<syntax::DayRef>& end = out.back().days.to;
      if (!end || end->last) {
        diagnostics_.error("out-of-order", setting.span,
                           "Before this level there is none that ends on a numbered day.",
                           "Write it like: keep air 25 degC until day 5, 30 degC until day 9");
        return out;
      }
      setting.days.from = syntax::DayRef{false, end->day + 1, setting.span};
    }
    out.push_back(std::move(setting));
  }
  return out;
}

std::optional<int> TreeBuilder::steps(P::StepsContext* context) {
  if (context == nullptr) return std::nullopt;
  return whole_number(context->NUMBER(), 2, 1000, "A number of steps");
}

void TreeBuilder::hours(P::HoursContext* context, syntax::Mist& mist) {
  if (context == nullptr) return;
  mist.from_minute = minute_of_day(context->TIME(0));
  mist.to_minute = minute_of_day(context->TIME(1));
}

syntax::StageItem TreeBuilder::taper(P::TaperContext* context) {
  if (P::MistTaperContext* taper = context->mistTaper()) {
    syntax::Mist mist;
    mist.taper = true;
    mist.span = places_.span(context);
    mist.days = days(taper->days());
    mist.steps = steps(taper->steps());
    hours(taper->hours(), mist);
    // In the order of the text: [pulse to pulse] every interval [to interval].
    std::size_t next = 0;
    if (taper->EVERY()->getSymbol()->getTokenIndex() > taper->formula(0)->start->getTokenIndex()) {
      mist.pulse = formula(taper->formula(next++));
      mist.pulse_last = formula(taper->formula(next++));
    }
    mist.every = formula(taper->formula(next++));
    if (next < taper->formula().size()) mist.every_last = formula(taper->formula(next));
    return mist;
  }
  P::SettingTaperContext* taper = context->settingTaper();
  syntax::Setting setting;
  setting.name = name(taper->name());
  setting.first = formula(taper->formula(0));
  setting.last = formula(taper->formula(1));
  if (taper->FOR() != nullptr) setting.hours = formula(taper->formula(2));
  // Before the value or after it.
  for (P::HalfContext* one : taper->half()) setting.half = half(one);
  setting.days = days(taper->days());
  setting.steps = steps(taper->steps());
  setting.span = places_.span(context);
  return setting;
}

syntax::Mist TreeBuilder::mist(P::MistContext* context) {
  syntax::Mist mist;
  mist.pulse = formula(context->formula(0));
  mist.every = formula(context->formula(1));
  hours(context->hours(), mist);
  mist.days = days(context->days());
  mist.span = places_.span(context);
  return mist;
}

std::optional<syntax::Formula> TreeBuilder::light_start(P::FormulaContext* sum,
                                                        antlr4::tree::TerminalNode* what) {
  if (what->getText() == "light") return formula(sum);
  diagnostics_.error("syntax", places_.span(what->getSymbol()), "Only light is waited for.",
                     "Write it like: at 3 mol of light");
  return std::nullopt;
}

/// What is set is the irrigation.
std::optional<syntax::Setting> TreeBuilder::irrigate(P::IrrigateContext* context) {
  syntax::Setting setting;
  setting.light = light_start(context->formula(1), context->NAME());
  if (!setting.light) return std::nullopt;
  setting.name = {"irrigation", places_.span(context->IRRIGATE()->getSymbol())};
  setting.first = formula(context->formula(0));
  setting.days = days(context->days());
  setting.span = places_.span(context);
  return setting;
}

syntax::Days TreeBuilder::days(P::DaysContext* context) {
  syntax::Days days;
  if (context == nullptr) return days;
  days.span = places_.span(context);
  if (context->ON() != nullptr) {
    days.from = days.to = day_ref(context->dayRef(0));
  } else if (context->OVER() != nullptr) {
    days.over = formula(context->formula());
  } else if (context->FROM() != nullptr) {
    days.from = day_ref(context->dayRef(0));
    if (context->dayRef().size() > 1) days.to = day_ref(context->dayRef(1));
  } else {
    days.to = day_ref(context->dayRef(0));
  }
  return days;
}

syntax::DayRef TreeBuilder::day_ref(P::DayRefContext* context) {
  syntax::DayRef ref;
  ref.span = places_.span(context);
  ref.last = context->LAST() != nullptr;
  if (!ref.last) ref.day = whole_number(context->NUMBER(), 1, 10'000, "A day of a stage");
  return ref;
}

syntax::Half TreeBuilder::half(P::HalfContext* context) {
  if (context == nullptr) return syntax::Half::both;
  return context->DAY() != nullptr ? syntax::Half::day : syntax::Half::night;
}

std::optional<int> TreeBuilder::minute_of_day(antlr4::tree::TerminalNode* time) {
  const std::string text = time->getText();
  const std::size_t colon = text.find(':');
  int hour = 0;
  int minute = 0;
  std::from_chars(text.data(), text.data() + colon, hour);
  std::from_chars(text.data() + colon + 1, text.data() + text.size(), minute);
  if (hour > 24 || minute > 59 || (hour == 24 && minute > 0)) {
    diagnostics_.error("no-such-time", places_.span(time->getSymbol()),
                       "There is no time of day `" + text + "`.", "Times go from 00:00 to 24:00.");
    return std::nullopt;
  }
  return hour * 60 + minute;
}

}  // namespace budwood::language
