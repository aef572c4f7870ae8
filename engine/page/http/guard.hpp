#pragma once

#include <httplib.h>

#include <string>
#include <vector>

namespace budwood::page {

/// Whether a name in `Host` may be ours: a number, this machine, or one of the names that were
/// told. Any other name may be one that somebody has pointed at us, to have their own page ask
/// questions here as if it were ours (DNS rebinding).
bool is_own_host(const std::string& host, const std::vector<std::string>& names);

/// Why a request is not answered whoever sends it: another host, a page of another site. "" when
/// it may go on.
std::string refusal_of(const httplib::Request& request, const std::vector<std::string>& names);

/// The value of a cookie; "" when there is none.
std::string cookie_of(const httplib::Request& request, const std::string& name);

/// Whether a proxy has taken the request in over TLS.
bool is_behind_tls(const httplib::Request& request);

/// What goes with every answer: nothing is kept, framed or fetched from elsewhere, and no script
/// runs but our own files.
void add_safe_headers(const httplib::Request& request, httplib::Response& response);

}  // namespace budwood::page
