#include <algorithm>
#include <set>

#include "share/facets.hpp"

namespace budwood::share {

namespace {

using language::FormulaId;
using language::no_formula;
using language::Protocol;
using language::Stage;
using language::StageDay;
using language::Work;

std::string clock(int minute) {
  const auto two = [](int number) { return (number < 10 ? "0" : "") + std::to_string(number); };
  return two(minute / 60) + ":" + two(minute % 60);
}

/// What stage and work have in common.
class Teller {
 public:
  explicit Teller(const Told& told) : told_(told), protocol_(told.protocol) {}

 protected:
  void add(std::string about, std::string lead, Said said) {
    if (!said.empty()) {
      out_.facets.push_back({std::move(about), std::move(lead), std::move(said)});
    }
  }
  void add_formula(std::string about, std::string lead, FormulaId formula) {
    add(std::move(about), std::move(lead), Said().formula(told_, formula));
  }
  void add_texts(const std::string& kind, const std::vector<std::string>& texts) {
    for (const std::string& one : texts) add(kind + " " + one, kind + " ", Said().quoted(one));
  }
  const std::string& part(std::int32_t index) const {
    return protocol_.parts[static_cast<std::size_t>(index)].name;
  }
  const language::Supply& supply(std::int32_t index) const {
    return protocol_.supplies[static_cast<std::size_t>(index)];
  }

  const Told& told_;
  const Protocol& protocol_;
  Thing out_;
};

class WorkTeller : Teller {
 public:
  using Teller::Teller;

  Thing tell(const Work& work) {
    out_ = {"work", work.title, "\"" + work.title + "\""};
    add("timing", "is done ", timing(work.timing));
    if (work.moves) add("move", "carries plants ", Said().add("to the room of the stage"));
    if (const std::string hours = words(work.timing.hours); !hours.empty()) {
      add("hours", "is done within its day ", Said().add(hours));
    }
    // Work that repeats may always be late up to its next turn; nobody writes that.
    if (work.timing.within > 0 && work.timing.must && !work.timing.any_day) {
      add("within", "may be late by ", Said().add(calendar::days_text(work.timing.within)));
    }
    add_formula("rate", "goes at ", work.rate);
    add("time", "takes ",
        shared(Said().formula(told_, work.time), work.time_share, " for each plant"));
    add_formula("setup", "takes at first ", work.setup);
    add_formula("people", "is done by people: ", work.people);
    add_formula("no entry", "keeps the room closed for ", work.no_entry);
    if (!work.crew.empty()) add("crew", "is for crew ", Said().ticked(work.crew));
    add_uses(work);
    for (const std::string& tag : work.tags) add("tag " + tag, "is tagged ", Said().ticked(tag));
    for (const language::Record& one : work.records) {
      add("record " + one.name, "records `" + one.name + "` ",
          Said().add(one.unit.empty() ? "as a word" : "in " + one.unit));
    }
    add_texts("tool", work.tools);
    add_texts("caution", work.cautions);
    add_texts("note", work.notes);
    return std::move(out_);
  }

 private:
  static Said timing(const language::Timing& timing) {
    using Kind = language::Timing::Kind;
    Said out;
    if (timing.kind == Kind::start) return out.add("at the start");
    if (timing.any_day) {
      return out.add("on any day from ").day(timing.from).add(" to ").day(timing.to);
    }
    if (timing.kind == Kind::days) {
      for (std::size_t i = 0; i < timing.days.size(); ++i) {
        out.add(i == 0 ? "on " : ", ").day(timing.days[i]);
      }
      return out;
    }
    out.add(timing.interval == 1 ? "daily" : "every " + std::to_string(timing.interval) + " days");
    return out.add(" from ").day(timing.from).add(" to ").day(timing.to);
  }

  Said shared(Said said, const language::Share& share, const std::string& each) const {
    if (share.each) said.add(each);
    if (share.area) said.add(" per m2");
    if (share.load) said.add(" per load of ").formula(told_, share.per);
    if (!share.load && share.per != no_formula) said.add(" per ").formula(told_, share.per);
    if (share.supply.known()) {
      said.add(share.load ? " " : " per ").ticked(protocol_.supplies[share.supply].name);
    }
    return said;
  }

  void add_uses(const Work& work) {
    std::map<std::int32_t, int> times;
    for (const language::Use& use : work.uses) {
      const language::Supply& what = supply(use.supply);
      Said said;
      said.formula(told_, use.amount, what.unit);
      said = shared(std::move(said), use.share, " each");
      if (use.light != language::no_formula) {
        said.add(" at each ").formula(told_, use.light).add(" of light");
      }
      if (use.until >= 0) said.add(" until the end of ").stage(told_, use.until);
      const int turn = ++times[use.supply];
      add("use " + what.name + (turn > 1 ? " " + std::to_string(turn) : ""),
          "uses of `" + what.name + "` ", std::move(said));
    }
  }
};

class StageTeller : Teller {
 public:
  StageTeller(const Told& told, const Stage& stage) : Teller(told), stage_(stage) {}

  Thing tell() {
    out_ = {"stage",
            told_.stages.contains(stage_.name) ? told_.stages.at(stage_.name) : stage_.name,
            "`" + stage_.name + "`"};
    if (!title_of_name()) add("title", "is called ", Said().quoted(stage_.title));
    add_origin();
    add_length();
    add_counts();
    add_settings();
    add_mist();
    for (const Work& work : stage_.works) {
      // What follows from the space is told with it.
      if (work.spaces == 0 && !language::follows_from_picking(stage_, work))
        out_.works.push_back(WorkTeller(told_).tell(work));
    }
    add_contingencies();
    add_texts("note", stage_.notes);
    add_texts("source", stage_.sources);
    return std::move(out_);
  }

 private:
  /// Whether the title was made of the name, with which it changes.
  bool title_of_name() const {
    std::string words = stage_.name;
    std::replace(words.begin(), words.end(), '_', ' ');
    return stage_.title == words;
  }

  void add_origin() {
    Said of;
    of.ticked(part(stage_.part));
    for (const std::int32_t one : stage_.joined) of.add(", joined from ").ticked(part(one));
    add("part", "is of ", of);
    Said takes;
    for (const std::int32_t from : stage_.takes) {
      takes.add(takes.empty() ? "" : " and ").stage(told_, from);
    }
    add("origin", "takes its plants from ", takes);
    for (const language::After& after : stage_.after) add_after(after);
    if (!stage_.room.empty()) add("room", "stands in ", Said().ticked(stage_.room));
    add("space", "takes space: ", space());
  }

  Said space() const {
    using Kind = language::Space::Kind;
    Said out;
    for (const language::Space& one : stage_.space) {
      if (one.by_picking) continue;
      if (!out.empty()) out.add(", from day " + std::to_string(one.from) + " ");
      const std::string noun = one.noun.empty() ? "" : " " + one.noun;
      const bool supply = one.supply.known();
      if (one.kind == Kind::used) {
        out.add("as many as are used of ").ticked(protocol_.supplies[one.supply].name);
        continue;
      }
      out.formula(told_, one.amount);
      if (one.kind == Kind::each) out.add(" for each plant");
      if (one.kind == Kind::total && !supply) out.add(noun);
      if (supply) out.add(" ").ticked(protocol_.supplies[one.supply].name);
    }
    return out;
  }

  void add_after(const language::After& after) {
    Said said;
    said.range(told_, after.low, after.high);
    if (said.empty()) said.add("any time");
    const bool from_end = after.edge == language::After::Edge::end;
    const std::string& other = told_.stage(after.stage);
    add("after " + other + (from_end ? "" : " start") + (after.within ? " within" : ""),
        std::string("starts after the ") + (from_end ? "end" : "start") + " of `" +
            protocol_.stages[static_cast<std::size_t>(after.stage)].name + "` by ",
        std::move(said));
  }

  void add_length() {
    add("length", "lasts ", Said().range(told_, stage_.shortest, stage_.longest));
    const bool one_length = Said().formula(told_, stage_.shortest).exact() ==
                            Said().formula(told_, stage_.longest).exact();
    if (!one_length) add_formula("usual length", "usually ", stage_.usual);
    if (stage_.heat) {
      Said heat;
      heat.formula(told_, stage_.heat->base);
      if (stage_.heat->upper != no_formula) heat.add(" up to ").formula(told_, stage_.heat->upper);
      if (!stage_.heat->method.empty()) heat.add(" by ").add(stage_.heat->method);
      add("heat", "counts warmth above ", std::move(heat));
    }
    if (stage_.gate) {
      add("gate", "ends when ", Said().add(stage_.gate->written, stage_.gate->meaning));
      add_formula("gate limit", "waits for it at most ", stage_.gate->at_most);
    }
    if (stage_.season) {
      add("season", "starts in the season ",
          Said()
              .add(calendar::describe(stage_.season->first))
              .add(" to ")
              .add(calendar::describe(stage_.season->last)));
    }
    if (stage_.wait == Stage::Wait::stated) {
      add("wait", "may wait ", Said().formula(told_, stage_.longest_wait));
      add_formula("held air", "is held meanwhile at ", stage_.held_air);
    } else if (stage_.wait == Stage::Wait::none) {
      add("wait", "may wait ", Said().add("not at all"));
    }
  }

  void add_counts() {
    add_formula("loss", "loses ", stage_.loses);
    add_portions();
    add_formula("yield", "yields for each plant ", stage_.yields);
    if (stage_.under_cover) add("cover", "", Said().add("stands under a cover"));
    if (stage_.discards_surplus) add("discard", "", Said().add("throws out what is too many"));
    if (stage_.whole_supply >= 0) {
      add("whole", "starts in whole ", Said().ticked(supply(stage_.whole_supply).name));
    }
    add_formula("minimum", "starts at least with ", stage_.minimum);
  }

  void add_portions() {
    for (std::size_t i = 0; language::picks_in_portions(stage_) && i < stage_.picks.size(); ++i) {
      const language::Picking& one = stage_.picks[i];
      Said said;
      said.formula(told_, one.share).add(" on ").day(one.day);
      const std::string about = "picking " + std::to_string(i + 1);
      add(about, about + " is of ", std::move(said));
    }
    for (const language::Grade& one : stage_.grades) {
      Said said;
      said.formula(told_, one.share).add(std::string(", ") + language::word(one.way));
      add("grade " + one.name, "grade `" + one.name + "` is ", std::move(said));
    }
  }

  /// "from day 2", "to the last day": one facet for each end.
  static void add_days(FacetGroup& group, const std::string& about, const std::string& lead,
                       const StageDay& from, const Said& to) {
    group.pieces.push_back({about + " first day", lead + "from ", Said().day(from)});
    group.pieces.push_back({about + " last day", lead + "until ", to});
  }

  Said last_day(const StageDay& to, FormulaId over) const {
    if (over == no_formula) return Said().day(to);
    return Said().formula(told_, over).add(" later");
  }

  Said value_of(const language::Setting& one) const {
    Said out;
    if (one.bound == language::Bound::at_least) out.add("at least ");
    if (one.bound == language::Bound::at_most) out.add("at most ");
    out.formula(told_, one.first, one.unit);
    if (one.last != no_formula) out.add(" to ").formula(told_, one.last, one.unit);
    if (one.high != no_formula) out.add(" to ").formula(told_, one.high, one.unit);
    if (one.hours != no_formula) out.add(" for ").formula(told_, one.hours);
    if (one.light != no_formula) out.add(" at each ").formula(told_, one.light).add(" of light");
    return out;
  }

  static std::string name_of(const language::Setting& one) {
    return one.name + (one.half == language::Half::day     ? " by day"
                       : one.half == language::Half::night ? " by night"
                                                           : "");
  }

  void add_to(FacetGroup& group, const language::Setting& one) {
    const std::string number = std::to_string(group.pieces.size());
    const std::string name = name_of(one);
    const bool taper = one.last != no_formula;
    const Said value = value_of(one);
    const Said to = last_day(one.to, one.over);
    group.pieces.push_back(
        {name + " " + number, name + (taper ? " is tapered from " : " is kept at "), value});
    add_days(group, name + " " + number, name + (taper ? " is tapered " : " is kept "), one.from,
             to);
    group.whole.add(group.whole.empty() ? "" : ", ").add(taper ? "tapered from " : "");
    group.whole.append(value).add(" from ").day(one.from).add(" to ").append(to);
    if (one.steps == 0) return;
    const Said steps = Said().add(std::to_string(one.steps) + " steps");
    group.pieces.push_back({name + " " + number + " steps", name + " is tapered in ", steps});
    group.whole.add(" in ").add(steps.shown());
    group.shape += " in steps";
  }

  void add_settings() {
    std::set<std::string> names;
    for (const language::Setting& first : stage_.settings) {
      if (!names.insert(name_of(first)).second) continue;
      FacetGroup group;
      group.about = name_of(first);
      group.lead = group.about + " is ";
      for (const language::Setting& one : stage_.settings) {
        if (name_of(one) != group.about) continue;
        group.shape += one.last != no_formula ? "taper," : "keep,";
        add_to(group, one);
      }
      out_.groups.push_back(std::move(group));
    }
  }

  void add_mist() {
    FacetGroup group;
    group.about = "mist";
    group.lead = "mist is ";
    for (const language::Mist& one : stage_.mists) {
      const std::string about = "mist " + std::to_string(group.pieces.size());
      const bool taper = one.every_last != no_formula || one.pulse_last != no_formula;
      Said value;
      value.range(told_, one.pulse, one.pulse_last).add(" every ");
      value.range(told_, one.every, one.every_last);
      if (one.from_minute != 0 || one.to_minute != 24 * 60) {
        value.add(", " + clock(one.from_minute) + " to " + clock(one.to_minute));
      }
      if (one.steps > 0) value.add(" in " + std::to_string(one.steps) + " steps");
      const Said to = last_day(one.to, one.over);
      group.shape += taper ? "taper," : "mist,";
      group.pieces.push_back({about, taper ? "mist is tapered: " : "mist is ", value});
      add_days(group, about, taper ? "mist is tapered " : "mist is given ", one.from, to);
      group.whole.add(group.whole.empty() ? "" : ", then ");
      group.whole.append(value).add(" from ").day(one.from).add(" to ").append(to);
    }
    if (!group.pieces.empty()) out_.groups.push_back(std::move(group));
  }

  void add_contingencies() {
    for (const language::Contingency& one : stage_.contingencies) {
      Said said;
      for (const std::string& warning : one.warnings)
        said.add(said.empty() ? "" : "; ").quoted(warning);
      for (const language::Contingency::Action& action : one.actions) {
        said.add(said.empty() ? "" : "; ").add(action_text(action), action_meaning(action));
      }
      Said day;
      day.day(one.day);
      add("if " + one.meaning + " " + day.exact(),
          "if " + one.written + " on " + day.shown() + ": ", std::move(said));
    }
  }

  static std::string action_text(const language::Contingency::Action& action) {
    std::string out = "\"" + action.work.title + "\"";
    for (const std::string& detail : action.details) out += ", " + detail;
    for (const std::string& tag : action.work.tags) out += ", tagged " + tag;
    // The usual cautions stand behind those that were written.
    const std::vector<std::string>& hazards = action.work.hazards;
    const std::size_t usual = hazards.empty() ? 0 : hazards.size() + 1;
    for (std::size_t i = 0; i + usual < action.work.cautions.size(); ++i) {
      out += ", caution \"" + action.work.cautions[i] + "\"";
    }
    for (const std::string& note : action.work.notes) out += ", note \"" + note + "\"";
    return out;
  }
  std::string action_meaning(const language::Contingency::Action& action) const {
    return "\"" + action.work.title + "\" " + WorkTeller(told_).tell(action.work).exact();
  }

  const Stage& stage_;
};

}  // namespace

std::vector<Thing> stages_of(const Told& told) {
  std::vector<Thing> out;
  for (const Stage& stage : told.protocol.stages) out.push_back(StageTeller(told, stage).tell());
  return out;
}

}  // namespace budwood::share
