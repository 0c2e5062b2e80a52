package feeds

import (
	"solander/studio"
)

// feedTime is the time of this write; the first to ask moves it on and forgets what is too old.
func (t *Gate) feedTime() (studio.FeedTime, error) {
	if t.Fed.Seq > 0 {
		return t.Fed, nil
	}
	was, err := t.Tx.FeedTime()
	if err != nil {
		return studio.FeedTime{}, err
	}
	t.Fed = was.Next(t.Now)
	if err := t.SaveFeedTime(t.Fed); err != nil {
		return studio.FeedTime{}, err
	}
	return t.Fed, t.ForgetFeeds(t.Fed.Forgotten())
}
