#pragma once
// From Beast's parser to Head, and from Response to the bytes before a body.

#include <platform/shop/server.h>

#include <boost/beast/http/error.hpp>
#include <boost/beast/http/parser.hpp>

namespace chockside::shop::detail {

namespace http = boost::beast::http;

/// A body that is collected as it comes and may be taken away in pieces.
struct PieceBody {
    using value_type = std::string;
    class reader {
    public:
        template <bool request, class F>
        reader(http::header<request, F>&, value_type& body) : body_(body)
        {
        }
        void init(const boost::optional<std::uint64_t>&, boost::system::error_code& ec) { ec = {}; }
        template <class Buffers>
        std::size_t put(const Buffers& buffers, boost::system::error_code& ec)
        {
            ec = {};
            std::size_t taken = 0;
            for (auto at = boost::asio::buffer_sequence_begin(buffers); at != boost::asio::buffer_sequence_end(buffers); ++at) {
                const boost::asio::const_buffer piece(*at);
                body_.append(static_cast<const char*>(piece.data()), piece.size());
                taken += piece.size();
            }
            return taken;
        }
        void finish(boost::system::error_code& ec) { ec = {}; }

    private:
        value_type& body_;
    };
};

using Parser = http::request_parser<PieceBody>;

/// 0, or the status that refuses the head.
int read_head(const Parser::value_type&, const ServerOptions&, Head&);
/// The address that the request really came from.
std::string peer_of(Head&, const ServerOptions&, const std::string& peer);
int status_of(const boost::system::error_code&);
/// Status line and fields, with the empty line. `head_only`: the answer to HEAD.
std::string head_text(const Response&, bool keep, bool head_only);

} // namespace chockside::shop::detail
