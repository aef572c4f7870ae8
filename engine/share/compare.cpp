#include "share/compare.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <set>
#include <sstream>

#include "share/facets.hpp"

namespace budwood::share {

namespace {

/// The same thing in both protocols; nullptr where it is in one alone.
struct Pair {
  const Thing* before = nullptr;
  const Thing* after = nullptr;
};

std::vector<Pair> pairs_by_name(const std::vector<Thing>& before, const std::vector<Thing>& after) {
  // Names may stand twice: the first goes with the first.
  std::map<std::string, std::vector<const Thing*>> left;
  for (auto i = before.rbegin(); i != before.rend(); ++i)
    left[i->kind + " " + i->name].push_back(&*i);
  std::vector<Pair> out;
  for (const Thing& one : after) {
    std::vector<const Thing*>& same = left[one.kind + " " + one.name];
    out.push_back({same.empty() ? nullptr : same.back(), &one});
    if (!same.empty()) same.pop_back();
  }
  for (const Thing& one : before) {
    const std::vector<const Thing*>& same = left[one.kind + " " + one.name];
    if (std::find(same.begin(), same.end(), &one) != same.end()) out.push_back({&one, nullptr});
  }
  return out;
}

std::set<std::string> words_of(const std::string& title) {
  std::istringstream in(title);
  std::set<std::string> out;
  for (std::string word; in >> word;) {
    for (char& c : word) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    while (!word.empty() && std::string(".,;:").find(word.back()) != std::string::npos)
      word.pop_back();
    out.insert(word);
  }
  return out;
}

/// How many of the words of two titles are the same: 0 to 1.
double similarity(const std::string& a, const std::string& b) {
  const std::set<std::string> one = words_of(a);
  const std::set<std::string> other = words_of(b);
  std::size_t shared = 0;
  for (const std::string& word : one) shared += other.count(word);
  const std::size_t all = one.size() + other.size() - shared;
  return all == 0 ? 0 : static_cast<double>(shared) / static_cast<double>(all);
}

/// Pairs up what the titles alone left over: work that has half of its words in common with
/// another, or that says exactly the same.
void pair_similar(std::vector<Pair>& pairs) {
  constexpr double enough = 0.5;
  for (Pair& fresh : pairs) {
    if (fresh.before != nullptr || fresh.after == nullptr) continue;
    Pair* best = nullptr;
    double most = 0;
    for (Pair& gone : pairs) {
      if (gone.before == nullptr || gone.after != nullptr) continue;
      const double alike = gone.before->exact() == fresh.after->exact()
                               ? 1
                               : similarity(gone.before->name, fresh.after->name);
      if (alike >= enough && alike > most) {
        most = alike;
        best = &gone;
      }
    }
    if (best == nullptr) continue;
    fresh.before = best->before;
    best->before = nullptr;
  }
  std::erase_if(pairs, [](const Pair& p) { return p.before == nullptr && p.after == nullptr; });
}

/// How much of what two stages say is the same, 0 to 1: their statements, and their work by what it
/// says or by its title. A new name mostly comes with a new title, so that does not count.
double alike(const Thing& a, const Thing& b) {
  std::size_t same = 0;
  std::size_t all = 0;
  const auto count = [&](const auto& one, const auto& other, const auto& equal) {
    all += std::max(one.size(), other.size());
    for (const auto& item : one) {
      const bool found = std::any_of(other.begin(), other.end(),
                                     [&](const auto& candidate) { return equal(item, candidate); });
      same += found ? 1 : 0;
    }
  };
  const auto without_title = [](std::vector<Facet> facets) {
    std::erase_if(facets, [](const Facet& one) { return one.about == "title"; });
    return facets;
  };
  count(without_title(a.facets), without_title(b.facets), [](const Facet& x, const Facet& y) {
    return x.about == y.about && x.said.exact() == y.said.exact();
  });
  count(a.groups, b.groups, [](const FacetGroup& x, const FacetGroup& y) {
    return x.about == y.about && x.whole.exact() == y.whole.exact();
  });
  count(a.works, b.works, [](const Thing& x, const Thing& y) {
    return x.exact() == y.exact() || similarity(x.name, y.name) >= 0.5;
  });
  return all == 0 ? 0 : static_cast<double>(same) / static_cast<double>(all);
}

/// The stages of both that do not go by the same name but say the same, or mostly so.
std::map<std::string, std::string> renamed_stages(const language::Protocol& before,
                                                  const language::Protocol& after) {
  const auto lone = [](const language::Protocol& one, const language::Protocol& other) {
    std::map<std::string, std::string> out;
    for (const language::Stage& stage : one.stages) {
      const bool known =
          std::any_of(other.stages.begin(), other.stages.end(),
                      [&](const language::Stage& s) { return s.name == stage.name; });
      // Where a stage speaks of itself or of another such, the name must not tell them apart.
      if (!known) out.emplace(stage.name, "?");
    }
    return out;
  };
  const std::map<std::string, std::string> gone = lone(before, after);
  std::map<std::string, std::string> fresh = lone(after, before);
  const std::vector<Thing> old_stages = stages_of({before, gone});
  const std::vector<Thing> new_stages = stages_of({after, fresh});
  std::map<std::string, std::string> out;
  for (std::size_t i = 0; i < old_stages.size(); ++i) {
    const language::Stage& old_stage = before.stages[i];
    if (!gone.contains(old_stage.name)) continue;
    for (std::size_t j = 0; j < new_stages.size(); ++j) {
      const language::Stage& new_stage = after.stages[j];
      if (!fresh.contains(new_stage.name)) continue;
      if (old_stages[i].exact() != new_stages[j].exact()) continue;
      out.emplace(old_stage.name, new_stage.name);
      fresh.erase(new_stage.name);
      break;
    }
  }
  // What was renamed and changed at once: the two that have most in common go first.
  constexpr double enough = 0.5;
  while (true) {
    double most = 0;
    const language::Stage* from = nullptr;
    const language::Stage* to = nullptr;
    for (std::size_t i = 0; i < old_stages.size(); ++i) {
      if (!gone.contains(before.stages[i].name) || out.contains(before.stages[i].name)) continue;
      for (std::size_t j = 0; j < new_stages.size(); ++j) {
        if (!fresh.contains(after.stages[j].name)) continue;
        const double share = alike(old_stages[i], new_stages[j]);
        if (share < enough || share <= most) continue;
        most = share;
        from = &before.stages[i];
        to = &after.stages[j];
      }
    }
    if (from == nullptr) return out;
    out.emplace(from->name, to->name);
    fresh.erase(to->name);
  }
}

class Comparer {
 public:
  Comparer(const language::Protocol& before, const language::Protocol& after)
      : renamed_(renamed_stages(before, after)), before_{before, renamed_}, after_{after} {}

  std::vector<Change> run() {
    things({facts_of(before_)}, {facts_of(after_)});
    things(declarations_of(before_), declarations_of(after_));
    const std::vector<Thing> old_stages = stages_of(before_);
    const std::vector<Thing> new_stages = stages_of(after_);
    for (const auto& [from, to] : renamed_) {
      stage_ = to;
      add("name", "`" + from + "`", "`" + to + "`", "was called `" + from + "`");
    }
    for (const Pair& pair : pairs_by_name(old_stages, new_stages)) stage(pair);
    return std::move(out_);
  }

 private:
  void add(const std::string& about, const std::string& before, const std::string& after,
           const std::string& sentence) {
    out_.push_back({stage_, work_, about, before, after, subject_ + sentence});
  }

  void things(const std::vector<Thing>& before, const std::vector<Thing>& after) {
    for (const Pair& pair : pairs_by_name(before, after)) {
      const Thing& thing = pair.after != nullptr ? *pair.after : *pair.before;
      subject_ = thing.name.empty() ? "" : thing.shown + " ";
      if (pair.before == nullptr || pair.after == nullptr) {
        whole(pair, thing);
      } else {
        facets(*pair.before, *pair.after);
      }
      subject_.clear();
    }
  }

  /// A thing that is in one of them alone.
  void whole(const Pair& pair, const Thing& thing) {
    std::string said;
    for (const Facet& facet : thing.facets) {
      said += (said.empty() ? "" : ", ") + facet.lead + facet.said.shown();
    }
    const bool is_new = pair.before == nullptr;
    const std::string details = thing.kind == "work" || said.empty() || !is_new ? "" : ": " + said;
    add(thing.kind, is_new ? "" : said, is_new ? said : "",
        is_new ? "is new" + details : "is dropped");
  }

  void facet(const Facet* before, const Facet* after) {
    if (before == nullptr) {
      add(after->about, "", after->said.shown(), "newly " + after->lead + after->said.shown());
    } else if (after == nullptr) {
      add(before->about, before->said.shown(), "",
          "no longer " + before->lead + before->said.shown());
    } else if (before->said.exact() != after->said.exact()) {
      std::string lead = after->lead;
      std::string old = before->said.shown();
      if (before->lead != after->lead) old = before->lead + old;
      add(after->about, before->said.shown(), after->said.shown(),
          lead + after->said.shown() + " instead of " + old);
    }
  }

  static const Facet* find(const std::vector<Facet>& facets, const std::string& about) {
    const auto found = std::find_if(facets.begin(), facets.end(),
                                    [&](const Facet& f) { return f.about == about; });
    return found == facets.end() ? nullptr : &*found;
  }

  void pieces(const std::vector<Facet>& before, const std::vector<Facet>& after) {
    for (const Facet& one : after) facet(find(before, one.about), &one);
    for (const Facet& one : before) {
      if (find(after, one.about) == nullptr) facet(&one, nullptr);
    }
  }

  void facets(const Thing& before, const Thing& after) {
    pieces(before.facets, after.facets);
    const auto find_group = [](const Thing& thing, const std::string& about) -> const FacetGroup* {
      for (const FacetGroup& group : thing.groups) {
        if (group.about == about) return &group;
      }
      return nullptr;
    };
    const auto as_facet = [](const FacetGroup& group) {
      return Facet{group.about, group.lead, group.whole};
    };
    for (const FacetGroup& one : after.groups) {
      const FacetGroup* other = find_group(before, one.about);
      if (other != nullptr && other->shape == one.shape) {
        pieces(other->pieces, one.pieces);
        continue;
      }
      const Facet now = as_facet(one);
      const std::optional<Facet> then = other ? std::optional(as_facet(*other)) : std::nullopt;
      facet(then ? &*then : nullptr, &now);
    }
    for (const FacetGroup& one : before.groups) {
      if (find_group(after, one.about) != nullptr) continue;
      const Facet then = as_facet(one);
      facet(&then, nullptr);
    }
  }

  void stage(const Pair& pair) {
    const Thing& thing = pair.after != nullptr ? *pair.after : *pair.before;
    stage_ = thing.name;
    if (pair.before == nullptr || pair.after == nullptr) {
      whole(pair, thing);
      return;
    }
    facets(*pair.before, *pair.after);
    std::vector<Pair> works = pairs_by_name(pair.before->works, pair.after->works);
    pair_similar(works);
    for (const Pair& one : works) work(one);
    work_.clear();
    order_of_work(works, *pair.before);
  }

  void work(const Pair& pair) {
    const Thing& thing = pair.after != nullptr ? *pair.after : *pair.before;
    work_ = thing.name;
    subject_ = thing.shown + " ";
    if (pair.before == nullptr || pair.after == nullptr) {
      whole(pair, thing);
    } else {
      if (pair.before->name != pair.after->name) {
        add("title", pair.before->name, pair.after->name, "was called " + pair.before->shown);
      }
      facets(*pair.before, *pair.after);
    }
    subject_.clear();
  }

  /// Work that is in both, but in another order.
  void order_of_work(const std::vector<Pair>& works, const Thing& before) {
    std::vector<const Thing*> old_order;
    std::vector<const Thing*> as_now;
    std::string titles;
    for (const Pair& pair : works) {
      if (pair.before == nullptr || pair.after == nullptr) continue;
      as_now.push_back(pair.before);
      titles += (titles.empty() ? "" : ", ") + pair.after->shown;
    }
    std::string old_titles;
    for (const Thing& one : before.works) {
      if (std::find(as_now.begin(), as_now.end(), &one) == as_now.end()) continue;
      old_order.push_back(&one);
      old_titles += (old_titles.empty() ? "" : ", ") + one.shown;
    }
    if (old_order != as_now) {
      add("order of work", old_titles, titles, "work comes in this order: " + titles);
    }
  }

  std::map<std::string, std::string> renamed_;
  Told before_, after_;
  std::vector<Change> out_;
  std::string stage_, work_, subject_;
};

}  // namespace

ProtocolChanges compare(const language::Protocol& before, const language::Protocol& after) {
  return {before.fingerprint == after.fingerprint, Comparer(before, after).run()};
}

}  // namespace budwood::share
