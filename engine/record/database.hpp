/// A session with a database, and what its errors mean. Private to this module.
#pragma once

#include <soci/soci.h>

#include <string>

#include "record/store.hpp"

namespace budwood::record {

/// What went wrong, as far as something different is done about it.
enum class Failure : std::uint8_t {
  no_table,
  exists,  ///< somebody else has made it meanwhile
  busy,    ///< another program is writing
  full,    ///< no room on the disk, or a limit reached
  read_only,
  damaged,
  no_file,  ///< the file cannot be opened
  lost,     ///< the server does not answer
  other,
};
Failure failure_of(const soci::soci_error& error);

/// A session, opened when it is first needed and again after the server was lost.
class Database {
 public:
  Database(Where where, Access access) : where_(std::move(where)), access_(access) {}

  /// Throws soci_error.
  soci::session& session();
  /// Lets go of a session that is of no use any more.
  void close() { session_.reset(); }
  /// In words, for people.
  std::string words_for(const soci::soci_error& error) const;
  bool is_server() const { return !where_.server.empty(); }
  const Where& where() const { return where_; }
  Access access() const { return access_; }
  Failure last_failure = Failure::other;  ///< why something was given up

 private:
  void connect_to_file();

  Where where_;
  Access access_;
  std::unique_ptr<soci::session> session_;
};

/// For how long a writer waits for others, seconds.
inline constexpr int patience = 10;

}  // namespace budwood::record
