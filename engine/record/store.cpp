#include "record/store.hpp"

#include <algorithm>
#include <chrono>
#include <iterator>
#include <limits>
#include <thread>
#include <unordered_map>
#include <unordered_set>

#include "record/rows.hpp"
#include "threads/threads.hpp"

namespace budwood::record {

namespace {

namespace fs = std::filesystem;
using Clock = std::chrono::steady_clock;

/// Does something again for as long as others are in the way, and once more when the server was
/// lost. It must do no harm twice. What goes wrong for good is told in words.
template <typename Work>
std::string in_session(Database& database, const Work& work) {
  const Clock::time_point until = Clock::now() + std::chrono::seconds(patience);
  bool lost = false;
  while (true) {
    try {
      return work(database.session());
    } catch (const soci::soci_error& error) {
      const Failure failure = failure_of(error);
      const bool wait = failure == Failure::busy || failure == Failure::exists;
      const bool again = wait ? Clock::now() < until : failure == Failure::lost && !lost;
      if (failure == Failure::lost || !again) database.close();
      lost = lost || failure == Failure::lost;
      if (again) {
        std::this_thread::sleep_for(std::chrono::milliseconds(wait ? 5 : 0));
        continue;
      }
      database.last_failure = failure;
      return database.words_for(error);
    }
  }
}

/// Adds all, within a transaction of its own that is rolled back when it is left.
std::string add_all(soci::session& session, const std::vector<Entry>& entries, Added& added) {
  added = {};
  soci::transaction all(session);
  Rows same(session, "where id = :id");
  std::string id;
  same.with(id, "id").prepare();
  NewRows fresh(session);
  for (const Entry& entry : entries) {
    if (fresh.add(entry)) {
      ++added.fresh;
      continue;
    }
    ++added.known;
    id = entry.id;
    bool differs = true;
    same.run([&](Entry there) {
      there.turn = entry.turn;  // says nothing of what happened
      differs = !(there == entry);
    });
    if (differs) {
      return "There is another entry `" + entry.id + "` already; none of these was taken in.";
    }
  }
  all.commit();
  return "";
}

/// For as many batches each of their entries is looked up by itself.
constexpr std::size_t few_batches = 20;

/// What a query will find, before it is read.
struct Share {
  bool most = false;      ///< going through all is faster than to look up one by one
  std::size_t count = 0;  ///< about as many entries
};

std::size_t count_all(Database& database, soci::session& session) {
  long long all = 0;  // of a file, where nothing is ever removed, its rows are numbered
  session << (database.is_server() ? "select count(*) from entries"
                                   : "select coalesce(max(rowid), 0) from entries"),
      soci::into(all);
  return static_cast<std::size_t>(all);
}

/// Looking up the entries of a batch takes twice to three times as long for each as going through
/// all. Of many batches a share says about how many they have.
Share share_of(Database& database, soci::session& session,
               const std::vector<std::string>& batches) {
  constexpr std::size_t enough_batches = 500;
  const std::size_t all = count_all(database, session);
  if (batches.empty()) return {true, all};
  if (batches.size() <= few_batches) return {false, 0};
  std::string batch;
  long long count = 0;
  std::size_t theirs = 0, looked_at = 0;
  soci::statement counts = (session.prepare << "select count(*) from entries where batch = :batch",
                            soci::use(batch), soci::into(count));
  const std::size_t step = (batches.size() + enough_batches - 1) / enough_batches;
  for (std::size_t i = 0; i < batches.size(); i += step, ++looked_at) {
    batch = batches[i];
    counts.execute(true);
    theirs += static_cast<std::size_t>(count);
  }
  theirs = std::min(all, theirs * batches.size() / looked_at);
  return {theirs > all / 3, theirs};
}

/// Adds the corrections that moved an entry of some batches to another batch. For a few batches
/// each of their entries is looked up; for many it is faster to go through all corrections there
/// are.
void add_moved(soci::session& session, const std::vector<std::string>& batches,
               std::vector<Entry>& entries) {
  const auto take = [&](Entry entry) { entries.push_back(std::move(entry)); };
  if (batches.size() <= few_batches) {
    std::string batch;
    Rows moved(session,
               "where corrects in (select id from entries where batch = :batch) and "
               "batch <> :batch_again");
    moved.with(batch, "batch").with(batch, "batch_again").prepare();
    for (const std::string& one : batches) {
      batch = one;
      moved.run(take);
    }
    return;
  }
  std::string id;
  std::unordered_map<std::string, bool> corrected;  // whether it is among the entries
  soci::statement all =
      (session.prepare << "select corrects from entries where corrects > ''", soci::into(id));
  all.execute(false);
  while (all.fetch()) corrected.emplace(id, false);
  if (corrected.empty()) return;
  std::unordered_set<std::string_view> corrections;
  for (const Entry& entry : entries) {
    if (!entry.corrects.empty()) corrections.insert(entry.id);
    if (const auto found = corrected.find(entry.id); found != corrected.end()) found->second = true;
  }
  std::vector<Entry> others;
  Rows moved(session, "where corrects = :id");
  moved.with(id, "id").prepare();
  for (const auto& [of, there] : corrected) {
    if (!there) continue;
    id = of;
    moved.run([&](Entry entry) {
      if (!corrections.contains(entry.id)) others.push_back(std::move(entry));
    });
  }
  for (Entry& entry : others) take(std::move(entry));
}

/// Keeps a record as it is before it is brought up to date: a file beside it, or a table in the
/// server. Gives where.
std::string keep_copy(Database& database, soci::session& session, int form) {
  const std::string name = "form" + std::to_string(form);
  if (database.is_server()) {
    session << "create table if not exists entries_" + name + " as table entries";
    return "the table entries_" + name;
  }
  const fs::path file = database.where().file;
  const fs::path copy = file.string() + "." + name;
  std::error_code none;
  if (fs::exists(copy, none)) return "`" + copy.generic_string() + "`";
  // Under its name it is whole; two runs may make it at once.
  const fs::path part = copy.string() + "." + new_id();
  const std::string target = part.string();
  session << "vacuum into :target", soci::use(target);
  // Whoever comes first has copied before anybody has changed anything: that copy stays.
  fs::create_hard_link(part, copy, none);
  if (!none || fs::exists(copy)) {
    fs::remove(part, none);
  } else {
    fs::rename(part, copy, none);  // a disk on which a file has one name only
    if (none) throw soci::soci_error("A copy of it cannot be kept: " + none.message());
  }
  return "`" + copy.generic_string() + "`";
}

/// Makes the tables where there are none, and holds the form against ours. `there` says whether
/// there is a record.
std::string prepare(Database& database, bool& there, std::string& notice) {
  return in_session(database, [&](soci::session& session) -> std::string {
    int form = 0;
    try {
      form = form_of(session);
    } catch (const soci::soci_error& error) {
      if (failure_of(error) != Failure::no_table) throw;
      if (database.access() == Access::read) return "";  // nothing has been noted yet
      make_tables(session);
      form = present_form;
    }
    if (form > present_form) {
      return "The record was written by a newer release of Budwood (form " + std::to_string(form) +
             "; this one reads form " + std::to_string(present_form) +
             "). Use that release, or export the record with it.";
    }
    // Older forms are read as they are: they hold the same entries.
    if (form < present_form && database.access() == Access::write) {
      const std::string copy = keep_copy(database, session, form);
      if (bring_up_to_date(session, form)) {
        notice = "The record was brought up to date; as it was it is kept in " + copy + ".";
      }
    }
    there = true;
    return "";
  });
}

}  // namespace

Store::Store(std::unique_ptr<Database> database) : database_(std::move(database)) {}
Store::~Store() = default;

std::string Store::add(std::vector<Entry>& entries, Added& added) {
  return in_session(*database_,
                    [&](soci::session& session) { return add_all(session, entries, added); });
}

namespace {

/// Days and the person that a query asks for; none: all that there are.
class Asked {
 public:
  explicit Asked(const Query& query)
      : from_(query.from.value_or(std::numeric_limits<int>::min())),
        to_(query.to.value_or(std::numeric_limits<int>::max())),
        by_(query.by) {}

  static std::string condition() {
    return "day between :from and :to and (:by = '' or by_whom = :by_again)";
  }
  /// With a sign in front of the day, which keeps a search for something else from going by days.
  static std::string condition_beside() { return "+" + condition(); }
  Rows& bind(Rows& rows) const {
    return rows.with(from_, "from").with(to_, "to").with(by_, "by").with(by_, "by_again");
  }

 private:
  int from_, to_;
  std::string by_;
};

using Wanted = std::unordered_set<std::string>;

bool is_wanted(const Wanted& wanted, const Entry& entry) {
  return wanted.empty() || wanted.contains(entry.batch);
}

/// Reading rows takes far longer than finding them: those of a large file are read on several
/// cores, each with a session of its own and an equal part, for bringing small parts together takes
/// as long as it gains. Rows are only ever added behind the others, so that the sessions see one
/// record, however much is noted meanwhile.
void read_file_through(Database& database, soci::session& session, const Asked& asked,
                       const Wanted& wanted, std::vector<Entry>& entries) {
  constexpr std::size_t enough_rows = 25'000;  // for a session of their own
  const std::size_t count = count_all(database, session);
  const std::size_t number = std::clamp<std::size_t>(count / enough_rows, 1, threads::at_once());
  const threads::Pieces pieces{count, std::max<std::size_t>(1, (count + number - 1) / number)};
  std::vector<std::unique_ptr<Database>> others(number);
  std::vector<std::vector<Entry>> found(number);
  const auto read = [&](soci::session& with, std::size_t piece) {
    const auto before = static_cast<long long>(pieces.begin(piece));
    const long long last = piece + 1 < number ? static_cast<long long>(pieces.end(piece))
                                              : std::numeric_limits<long long>::max();
    Rows rows(with, "where rowid > :before and rowid <= :last and " + Asked::condition_beside());
    asked.bind(rows.with(before, "before").with(last, "last")).prepare();
    // The first part is where it is wanted already.
    std::vector<Entry>& into = piece == 0 ? entries : found[piece];
    if (wanted.empty() && piece > 0) into.reserve(pieces.end(piece) - pieces.begin(piece));
    rows.run([&](Entry entry) {
      if (is_wanted(wanted, entry)) into.push_back(std::move(entry));
    });
  };
  threads::each_piece(
      number,
      [&](std::size_t piece, std::size_t worker) {
        if (worker == 0) return read(session, piece);
        if (!others[worker]) {
          others[worker] = std::make_unique<Database>(database.where(), Access::read);
        }
        read(others[worker]->session(), piece);
      },
      number);
  for (std::vector<Entry>& piece : found) {
    std::move(piece.begin(), piece.end(), std::back_inserter(entries));
    piece = {};
  }
}

}  // namespace

std::string Store::read(const Query& query, std::vector<Entry>& entries) {
  const Asked asked(query);
  const std::string problem = in_session(*database_, [&](soci::session& session) -> std::string {
    entries.clear();
    const bool whole = !query.from && !query.to && query.by.empty();
    const Share share = share_of(*database_, session, query.batches);
    if (whole) entries.reserve(share.count);
    const Wanted wanted(query.batches.begin(), query.batches.end());
    const auto take = [&](Entry entry) {
      if (is_wanted(wanted, entry)) entries.push_back(std::move(entry));
    };
    if (share.most && whole && !database_->is_server()) {
      read_file_through(*database_, session, asked, wanted, entries);
    } else if (share.most) {
      Rows rows(session, "where " + Asked::condition());
      asked.bind(rows).prepare();
      rows.run(take);
    } else {
      std::string batch;
      Rows rows(session, "where batch = :batch and " + Asked::condition_beside());
      asked.bind(rows.with(batch, "batch")).prepare();
      for (const std::string& one : query.batches) {
        batch = one;
        rows.run(take);
      }
    }
    if (whole && !query.batches.empty()) add_moved(session, query.batches, entries);
    return "";
  });
  sort_as_noted(entries);
  return problem;
}

std::string Store::count(std::size_t& entries) {
  return in_session(*database_, [&](soci::session& session) -> std::string {
    entries = count_all(*database_, session);
    return "";
  });
}

std::string Store::find(const std::string& front, std::vector<Entry>& entries) {
  return in_session(*database_, [&](soci::session& session) -> std::string {
    entries.clear();
    // No id comes behind this one, in whatever order a server sorts small letters and digits.
    const std::string last = front + std::string(id_length, 'z');
    Rows rows(session, "where id between :front and :last");
    rows.with(front, "front").with(last, "last").prepare();
    rows.run([&](Entry entry) {
      if (entry.id.starts_with(front)) entries.push_back(std::move(entry));
    });
    return "";
  });
}

bool is_of_record(const fs::path& path) {
  std::error_code none;
  const fs::path target = fs::weakly_canonical(path, none);
  const std::string name = (none ? path : target).filename().string();
  constexpr std::string_view own = record_file;
  if (!name.starts_with(own)) return false;
  return name.size() == own.size() || name[own.size()] == '-' || name[own.size()] == '.';
}

std::vector<fs::path> files_of_record(const fs::path& file) {
  std::vector<fs::path> out;
  std::error_code failure;
  const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
  for (fs::directory_iterator i(folder, failure), end; !failure && i != end; i.increment(failure)) {
    if (is_of_record(i->path())) out.push_back(i->path());
  }
  return out;
}

bool Store::damaged() const {
  return database_->last_failure == Failure::damaged;
}

Opened open(const Where& where, Access access) {
  Opened out;
  std::error_code none;
  const bool is_file = where.server.empty();
  if (is_file && access == Access::read && !fs::exists(where.file, none)) return out;
  auto database = std::make_unique<Database>(where, access);
  bool there = false;
  out.problem = prepare(*database, there, out.notice);
  out.damaged = !there && database->last_failure == Failure::damaged;
  if (there) out.store = std::make_unique<Store>(std::move(database));
  return out;
}

}  // namespace budwood::record
