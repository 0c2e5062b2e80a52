package place

import (
	"context"
	"errors"
	"io"
	"net/http"
	"net/url"
	"strings"

	"github.com/minio/minio-go/v7"
	"github.com/minio/minio-go/v7/pkg/credentials"

	"solander/fault"
)

// Storage says which bucket copies go to.
type Storage struct {
	Address string `json:"address"`          // of the storage: "https://…"
	Region  string `json:"region,omitempty"` // "" = as the storage says
	Bucket  string `json:"bucket"`
	Prefix  string `json:"prefix,omitempty"` // before the names of files, such as "studio/"
}

// Credentials let in at a storage. They stand in no database.
type Credentials struct{ Access, Secret string }

// Bucket is a bucket that a studio's copies go to.
type Bucket struct {
	Storage
	client *minio.Client
}

const (
	// partSize is how much of a copy is held in memory, in bytes, and sent at once: a copy has at most 10 000 parts, so 160 GB.
	// Source: Amazon S3 User Guide, "Amazon S3 multipart upload limits".
	partSize = 16 << 20
	// mostTries is how often a request is tried.
	mostTries = 3
)

// At is a bucket at a storage. Faults: Invalid.
func At(s Storage, c Credentials, transport http.RoundTripper) (*Bucket, error) {
	u, err := url.Parse(s.Address)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.User != nil || strings.Trim(u.Path, "/") != "" {
		return nil, fault.Invalidf("address", "%.100q is not the address of a storage", s.Address).ToMend("write it like https://s3.example.net")
	}
	if u.Scheme == "http" && !here(u.Hostname()) {
		return nil, fault.Invalidf("address", "what goes to %.100s could be read and changed on its way", s.Address).ToMend("use https://")
	}
	if c.Access == "" || c.Secret == "" {
		return nil, fault.Invalidf("access", "there is no access key for the storage on this computer").ToMend("give the access key and its secret")
	}
	client, err := minio.New(u.Host, &minio.Options{
		Creds: credentials.NewStaticV4(c.Access, c.Secret, ""), Secure: u.Scheme == "https", Region: s.Region,
		Transport: transport, MaxRetries: mostTries, BucketLookup: minio.BucketLookupPath,
	})
	if err != nil {
		return nil, fault.Invalidf("address", "the storage cannot be asked: %s", err).ToMend("look at its address").Because(err)
	}
	return &Bucket{s, client}, nil
}

func here(host string) bool { return host == "localhost" || host == "127.0.0.1" || host == "::1" }

// Where names the bucket.
func (b *Bucket) Where() string {
	return strings.TrimSuffix(b.Address, "/") + "/" + b.Bucket + "/" + b.Prefix
}

// Names are the files behind the prefix, without it.
func (b *Bucket) Names(ctx context.Context) ([]string, error) {
	ctx, stop := context.WithCancel(ctx)
	defer stop() // ends the listing when it fails halfway
	names := []string{}
	for o := range b.client.ListObjects(ctx, b.Bucket, minio.ListObjectsOptions{Prefix: b.Prefix, Recursive: true}) {
		if o.Err != nil {
			return nil, b.told(o.Err)
		}
		names = append(names, strings.TrimPrefix(o.Key, b.Prefix))
	}
	return names, nil
}

// Put sends a file.
func (b *Bucket) Put(ctx context.Context, name string, write func(io.Writer) error) (Put, error) {
	if err := b.free(ctx, name); err != nil {
		return Put{}, err
	}
	r, w := io.Pipe()
	s := summing(w)
	wrote := make(chan error, 1)
	go func() {
		err := write(s)
		w.CloseWithError(err) // nil: the end
		wrote <- err
	}()
	_, err := b.client.PutObject(ctx, b.Bucket, b.Prefix+name, r, -1, minio.PutObjectOptions{PartSize: partSize, ContentType: "application/octet-stream"})
	r.CloseWithError(errors.Join(err, io.ErrClosedPipe)) // so that the writer does not wait for ever
	failed := <-wrote
	if err != nil || failed != nil {
		b.forget(ctx, name)
	}
	switch {
	case failed != nil && !errors.Is(failed, io.ErrClosedPipe):
		return Put{}, failed // what was to be sent failed, not the storage
	case err != nil:
		return Put{}, b.told(err)
	}
	if err := b.readBack(ctx, name, s.put()); err != nil {
		return Put{}, b.told(errors.Join(err, b.Drop(context.WithoutCancel(ctx), name)))
	}
	return s.put(), nil
}

// free sees that no file has the name, and takes away what is left of one of that name that was broken off.
func (b *Bucket) free(ctx context.Context, name string) error {
	_, err := b.client.StatObject(ctx, b.Bucket, b.Prefix+name, minio.StatObjectOptions{})
	switch {
	case err == nil:
		return fault.New(fault.Taken, "there is a copy %s already", name).At("%s", b.Where()).ToMend("wait a second, and make another one")
	case minio.ToErrorResponse(err).StatusCode == http.StatusNotFound:
		return nil
	}
	return b.told(err)
}

// forget takes away the parts of a file that did not become whole, as well as it can: they are no file, but some storages charge for them.
func (b *Bucket) forget(ctx context.Context, name string) {
	_ = b.client.RemoveIncompleteUpload(context.WithoutCancel(ctx), b.Bucket, b.Prefix+name)
}

func (b *Bucket) readBack(ctx context.Context, name string, want Put) error {
	r, err := b.Open(ctx, name)
	if err != nil {
		return err
	}
	return errors.Join(readBack(ctx, r, want), r.Close())
}

// Open reads a file.
func (b *Bucket) Open(ctx context.Context, name string) (io.ReadCloser, error) {
	o, err := b.client.GetObject(ctx, b.Bucket, b.Prefix+name, minio.GetObjectOptions{})
	return o, b.told(err)
}

// Drop takes a file away.
func (b *Bucket) Drop(ctx context.Context, name string) error {
	return b.told(b.client.RemoveObject(ctx, b.Bucket, b.Prefix+name, minio.RemoveObjectOptions{}))
}

// told says what a storage means.
func (b *Bucket) told(err error) error {
	if err == nil || errors.Is(err, context.Canceled) || errors.Is(err, context.DeadlineExceeded) {
		return err
	}
	where := b.Where()
	if errors.Is(err, errChanged) {
		return failed(where, err, "the copy cannot be read back as it was sent", "try again; if it stays so, choose another storage")
	}
	answer := minio.ToErrorResponse(err)
	switch {
	case answer.StatusCode == http.StatusForbidden || answer.StatusCode == http.StatusUnauthorized:
		return failed(where, err, "the storage does not let this program in", "look at the access key, its secret and what it may do")
	case answer.StatusCode == http.StatusNotFound:
		return failed(where, err, "the storage has no such bucket or file", "look at the name of the bucket")
	case answer.StatusCode == http.StatusInsufficientStorage || answer.Code == "QuotaExceeded" || answer.Code == "XMinioStorageFull":
		return failed(where, err, "the storage is full", "make room there, or choose another one")
	}
	return failed(where, err, "the storage cannot be reached, or broke off", "see whether this computer is on the network; it is tried again by itself")
}
