#include "record/store.hpp"

#include <algorithm>
#include <chrono>
#include <limits>
#include <thread>

#include "record/rows.hpp"

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
  for (const Entry& entry : entries) {
    if (insert(session, entry)) {
      ++added.fresh;
      continue;
    }
    ++added.known;
    id = entry.id;
    bool differs = true;
    same.run([&](Entry there) {
      if (entry.turn == 0) there.turn = 0;
      differs = !(there == entry);
    });
    if (differs) {
      return "There is another entry `" + entry.id + "` already; none of these was taken in.";
    }
  }
  all.commit();
  return "";
}

/// Makes the tables where there are none, and holds the form against ours. `there` says whether
/// there is a record.
std::string prepare(Database& database, bool& there) {
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

std::string Store::read(const Query& query, std::vector<Entry>& entries) {
  const int from = query.from.value_or(std::numeric_limits<int>::min());
  const int to = query.to.value_or(std::numeric_limits<int>::max());
  const std::string days = "day between :from and :to and (:by = '' or by_whom = :by_again)";
  const std::string problem = in_session(*database_, [&](soci::session& session) -> std::string {
    entries.clear();
    const auto take = [&](Entry entry) { entries.push_back(std::move(entry)); };
    std::string batch;
    Rows rows(session,
              query.batches.empty() ? "where " + days : "where batch = :batch and " + days);
    if (!query.batches.empty()) rows.with(batch, "batch");
    rows.with(from, "from").with(to, "to").with(query.by, "by").with(query.by, "by_again");
    rows.prepare();
    if (query.batches.empty()) {
      rows.run(take);
      return "";
    }
    for (const std::string& one : query.batches) {
      batch = one;
      rows.run(take);
    }
    Rows elsewhere(session,
                   "where corrects in (select id from entries where batch = :batch) and "
                   "batch <> :batch_again");
    elsewhere.with(batch, "batch").with(batch, "batch_again").prepare();
    for (const std::string& one : query.batches) {
      batch = one;
      elsewhere.run(take);
    }
    return "";
  });
  std::sort(entries.begin(), entries.end(), noted_before);
  return problem;
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

Opened open(const Where& where, Access access) {
  Opened out;
  std::error_code none;
  const bool is_file = where.server.empty();
  if (is_file && access == Access::read && !fs::exists(where.file, none)) return out;
  auto database = std::make_unique<Database>(where, access);
  bool there = false;
  out.problem = prepare(*database, there);
  out.damaged = !there && database->last_failure == Failure::damaged;
  if (there) out.store = std::make_unique<Store>(std::move(database));
  return out;
}

}  // namespace budwood::record
