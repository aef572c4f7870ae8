#include <map>

#include "record/rows.hpp"

namespace budwood::record {

namespace {

/// Reads rows one way until a damaged page ends it; false when one did.
template <typename Take>
bool read_until_damage(soci::session& session, const std::string& condition, const Take& take) {
  try {
    Rows rows(session, condition);
    rows.prepare();
    rows.run(take);
    return true;
  } catch (const soci::soci_error&) {
    return false;
  }
}

}  // namespace

/// Nothing is ever removed from a record, so its rows are numbered from 1 without gaps: what stands
/// between the first damaged page and the last is asked for row by row.
std::vector<Entry> salvage(const std::filesystem::path& file) {
  std::map<std::string, Entry> found;
  const auto take = [&](Entry entry) {
    std::string id = entry.id;
    found.emplace(std::move(id), std::move(entry));
  };
  Database database({file, ""}, Access::read);
  try {
    soci::session& session = database.session();
    if (!read_until_damage(session, "order by rowid", take)) {
      const auto first = static_cast<long long>(found.size());
      read_until_damage(session, "order by rowid desc", take);
      long long last = 0;
      session << "select max(rowid) from entries", soci::into(last);
      last -= static_cast<long long>(found.size()) - first;
      Rows one(session, "where rowid = :row");
      long long row = first;
      one.with(row, "row").prepare();
      while (++row <= last) {
        try {
          one.run(take);
        } catch (const soci::soci_error&) {
          // this one is lost
        }
      }
    }
  } catch (const soci::soci_error&) {
    // what was found up to here is all there is
  }
  std::vector<Entry> out;
  for (auto& [id, entry] : found) {
    if (fault_of(entry).empty()) out.push_back(std::move(entry));
  }
  std::sort(out.begin(), out.end(), noted_before);
  return out;
}

}  // namespace budwood::record
