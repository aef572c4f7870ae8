/// Where entries are kept: in a file beside the book (SQLite), or in a PostgreSQL server that
/// several sites or machines write to at once. One set of SQL serves both, through SOCI.
///
///   record::Opened opened = record::open({book / record::record_file, ""}, record::Access::write);
///   if (opened.store == nullptr) return opened.problem;
///   const std::string problem = opened.store->add(entries);
///
/// What `add` has confirmed is on the disk: SQLite writes ahead to a log that is flushed with every
/// entry (`journal_mode=wal`, `synchronous=full`; a rollback journal flushed to the same safety
/// took three to four times as long), PostgreSQL commits synchronously. A log left by a run that
/// was ended is taken up by the next one that opens the file. Nothing is ever changed or removed:
/// there is no SQL that could.
#pragma once

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "record/entry.hpp"

namespace budwood::record {

/// The file of a book that holds its record.
inline constexpr const char* record_file = "record.db";

/// Whether a path, links followed, is that of a record or of a file that belongs to one (its log,
/// the copy of an older form), whether it is there yet or not. Nothing else may be written there.
bool is_of_record(const std::filesystem::path& path);
/// The files beside a book that belong to its record, as far as they are there.
std::vector<std::filesystem::path> files_of_record(const std::filesystem::path& file);

/// Where a record is: in the server when there is one, else in the file.
struct Where {
  std::filesystem::path file;
  std::string server;  ///< "postgresql://..."
};

/// Which entries; what is not set lets all through.
struct Query {
  std::vector<std::string> batches;  ///< none: all, and stock
  std::optional<calendar::Day> from;
  std::optional<calendar::Day> to;  ///< included
  std::string by;
};

/// How many entries were new, and how many were there already, word for word.
struct Added {
  std::size_t fresh = 0;
  std::size_t known = 0;
};

class Database;

/// An open record. What goes wrong is told in a sentence; "" when all is well.
class Store {
 public:
  explicit Store(std::unique_ptr<Database> database);
  ~Store();
  Store(const Store&) = delete;
  Store& operator=(const Store&) = delete;

  /// Adds all or none, durably before it returns. Entries without a turn get theirs. One that is
  /// there already is passed over; another with the id of one that is there is refused.
  std::string add(std::vector<Entry>& entries, Added& added);
  /// In the order noted. Corrections and withdrawals come with the batches of what they are about.
  std::string read(const Query& query, std::vector<Entry>& entries);
  /// How many entries there are. Nothing is ever removed, so as long as it is the same, so is the
  /// record.
  std::string count(std::size_t& entries);
  /// The entries whose id begins so.
  std::string find(const std::string& front, std::vector<Entry>& entries);
  /// Whether what went wrong last is that the file is damaged: `salvage` may still read some of it.
  bool damaged() const;

 private:
  std::string try_to_add(std::vector<Entry>& entries, Added& added);

  std::unique_ptr<Database> database_;
};

enum class Access : std::uint8_t {
  read,  ///< of a record that is not there, there is nothing to open
  write
};

struct Opened {
  std::unique_ptr<Store> store;
  std::string problem;   ///< why there is none; "" when there is nothing to read yet
  std::string notice;    ///< what was done to the record on opening it
  bool damaged = false;  ///< `salvage` may still read some of it
};

/// Opens a record, and makes a new one for writing. One of an older form is brought up to date,
/// with a copy kept; one of a newer form is refused.
Opened open(const Where& where, Access access);

/// What can still be read of a damaged file, as far as it is a record at all.
std::vector<Entry> salvage(const std::filesystem::path& file);

}  // namespace budwood::record
