package feed

import (
	"time"
)

// Store keeps what other programs may write here, how, and what they were answered.
type Store interface {
	Feeds() ([]Feed, error) // by name, the revoked ones too
	Feed(id int64) (Feed, error)
	SaveFeed(Feed) (int64, error) // ID 0 adds one; Taken when the name is in use
	// FeedUsed notes that a feed was used.
	FeedUsed(id int64, at time.Time) error

	FeedSecrets(feed int64) ([]Secret, error) // oldest first
	AddFeedSecret(Secret) (int64, error)
	DropFeedSecret(id int64) error

	// FeedAnswer returns what a feed was answered under a key. Faults: Missing.
	FeedAnswer(feed int64, key string) (Answer, error)
	// AddFeedAnswer keeps an answer. Faults: Taken when the key has one.
	AddFeedAnswer(Answer) error
	// AddFeedMessage notes a message of a web-hook. Faults: Taken when it was noted before.
	AddFeedMessage(Message) error
	// FeedTime returns the feeds' own time as it was saved last; the zero time when it never was.
	FeedTime() (Time, error)
	SaveFeedTime(Time) error
	// ForgetFeeds forgets the answers and messages that lie before a time both by number, or at it, and by age.
	ForgetFeeds(before Time) error

	HookMappings() ([]Mapping, error) // by name
	HookMapping(id int64) (Mapping, error)
	SaveHookMapping(Mapping) (int64, error) // ID 0 adds one; Taken when the name is in use
	DropHookMapping(id int64) error         // Refused while a feed uses it
}
