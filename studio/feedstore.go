package studio

import "time"

// FeedStore keeps what other programs may write here, how, and what they were answered.
type FeedStore interface {
	Feeds() ([]Feed, error) // by name, the revoked ones too
	Feed(id int64) (Feed, error)
	SaveFeed(Feed) (int64, error) // ID 0 adds one; Taken when the name is in use
	// FeedUsed notes that a feed was used.
	FeedUsed(id int64, at time.Time) error

	FeedSecrets(feed int64) ([]FeedSecret, error) // oldest first
	AddFeedSecret(FeedSecret) (int64, error)
	DropFeedSecret(id int64) error

	// FeedAnswer returns what a feed was answered under a key. Faults: Missing.
	FeedAnswer(feed int64, key string) (FeedAnswer, error)
	// AddFeedAnswer keeps an answer. Faults: Taken when the key has one.
	AddFeedAnswer(FeedAnswer) error
	// AddFeedMessage notes a message of a web-hook. Faults: Taken when it was noted before.
	AddFeedMessage(feed int64, print string, at time.Time) error
	// ForgetFeeds forgets the answers and messages from before these instants.
	ForgetFeeds(answers, messages time.Time) error

	HookMappings() ([]HookMapping, error) // by name
	HookMapping(id int64) (HookMapping, error)
	SaveHookMapping(HookMapping) (int64, error) // ID 0 adds one; Taken when the name is in use
	DropHookMapping(id int64) error             // Refused while a feed uses it
}
